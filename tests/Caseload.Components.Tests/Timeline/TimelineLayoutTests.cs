using System.Globalization;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Web.Ui.Timeline;

namespace Caseload.Components.Tests.Timeline;

/// <summary>
/// The known child was born on 2026-01-05 at 31+4 and is looked at on 2026-09-01. The axis runs from birth to a year after the expected
/// date 2026-03-05, so through 2027-03-05: 424 days between the names and a margin of 14.
/// </summary>
public sealed class TimelineLayoutTests
{
    private static readonly TimelineLayout _frame = Layout(["moro"]);

    private static double Left => _frame.LabelWidth;

    private static double Right => _frame.Width - 14;

    [Fact]
    public void Window_WhenTheChildIsKnown_LiesAtItsDays()
    {
        var moro = Layout(["moro"]).Lanes[0];

        // Usually goes at 4 to 6 months corrected: 2026-07-05 is day 181, 2026-09-05 day 243. Expected from birth.
        moro.ExpectedFrom.ShouldBe(Left);
        moro.UsualFrom.ShouldBe(At(181));
        moro.UsualThrough.ShouldBe(At(243));
        moro.LatestThrough.ShouldBe(At(243));
    }

    [Fact]
    public void Limit_WhenItIsLaterThanTheDeadline_LiesBeyondIt()
    {
        var palmar = Layout(["palmar_grasp"]).Lanes[0];

        // Latest published at 9 months corrected: 2026-12-05 is day 334.
        palmar.UsualThrough.ShouldBe(At(243));
        palmar.LatestThrough.ShouldBe(At(334));
    }

    [Fact]
    public void Limit_WhenItLiesBeyondTheChart_IsLeftOut()
    {
        var plantar = Layout(["plantar_grasp"]).Lanes[0];

        // Usually gone at 12 months corrected, the last day shown; latest published at 15.
        plantar.UsualThrough.ShouldBe(Right);
        plantar.LatestThrough.ShouldBeNull();
    }

    [Fact]
    public void Deadline_WhenItLiesBeyondTheChart_LeavesTheWindowOpen()
    {
        var babinski = Layout(["babinski"]).Lanes[0];

        babinski.UsualFrom.ShouldBe(Right);
        babinski.UsualThrough.ShouldBeNull();
    }

    [Fact]
    public void Window_WhenItBeganBeforeBirth_IsClampedToTheLeftEdge()
    {
        var result = Samples.Result("moro") with { Window = Samples.Window("2025-11-01", "2025-12-01", "2025-12-31", "2026-03-05") };

        var lane = TimelineLayout
            .Of(Samples.Preterm, Samples.Day("2026-03-05"), [result], [], Samples.TodayOn, TimelineAxis.Corrected)
            .Lanes[0];

        lane.ExpectedFrom.ShouldBe(Left);
        lane.UsualFrom.ShouldBe(Left);
        lane.UsualThrough.ShouldBe(Left);
        lane.LatestThrough.ShouldBe(At(59));
    }

    [Theory]
    [InlineData("2026-01-05", 0)]
    [InlineData("2026-09-01", 239)]
    [InlineData("2026-11-05", 304)]
    public void Today_WhileAYearIsShown_LiesAtItsDay(string on, int days) => Layout(["moro"], on).TodayX.ShouldBe(At(days));

    [Theory]
    [InlineData("2025-12-01")]
    [InlineData("2026-01-05")]
    [InlineData("2027-03-05")]
    [InlineData("2028-06-30")]
    [InlineData("2035-01-01")]
    public void Today_Always_LiesInsideTheChart(string on)
    {
        var layout = Layout(["moro"], on);

        layout.TodayX.ShouldBeInRange(Left, Right);
        layout.Ticks.ShouldAllBe(tick => tick.X >= Left && tick.X <= Right);
        layout.Ticks.Count(tick => tick.Text.Length > 0).ShouldBeGreaterThan(3);
    }

    [Fact]
    public void Axis_WhenCorrected_CountsFromTheExpectedDate()
    {
        var layout = Layout(["moro"]);

        layout.AxisTitle.ShouldBe("Months, corrected");
        Tick(layout, "0").ShouldBe(At(59));
        Tick(layout, "-1").ShouldBe(At(31));
        Tick(layout, "6").ShouldBe(At(243));
        Tick(layout, "12").ShouldBe(Right);
    }

    [Fact]
    public void Axis_WhenChronological_CountsFromBirth()
    {
        var layout = Layout(["moro"], axis: TimelineAxis.Chronological);

        layout.AxisTitle.ShouldBe("Months since birth");
        Tick(layout, "0").ShouldBe(Left);
        Tick(layout, "1").ShouldBe(At(31));
        layout.Ticks.ShouldAllBe(tick => !tick.Text.StartsWith('-'));
    }

    [Fact]
    public void Windows_WhenTheAxisChanges_StayWhereTheyAre() =>
        Layout(["moro", "landau"], axis: TimelineAxis.Chronological)
            .Lanes.Select(lane => (lane.ExpectedFrom, lane.UsualFrom, lane.UsualThrough, lane.LatestThrough))
            .ShouldBe(
                Layout(["moro", "landau"]).Lanes.Select(lane => (lane.ExpectedFrom, lane.UsualFrom, lane.UsualThrough, lane.LatestThrough))
            );

    [Fact]
    public void Axis_WhenNothingIsCorrected_CountsFromBirth() =>
        Layout(["moro"], birth: Samples.Term).AxisTitle.ShouldBe("Months since birth");

    [Theory]
    [InlineData("2026-09-01", TimelineLayout.Wide)]
    [InlineData("2026-09-01", TimelineLayout.Narrow)]
    [InlineData("2027-06-01", TimelineLayout.Wide)]
    [InlineData("2027-06-01", TimelineLayout.Narrow)]
    [InlineData("2028-06-01", TimelineLayout.Wide)]
    [InlineData("2028-06-01", TimelineLayout.Narrow)]
    [InlineData("2030-06-01", TimelineLayout.Wide)]
    public void Axis_WhenManyMonthsAreShown_KeepsItsLabelsApart(string on, double width)
    {
        var labels = Layout(["moro"], on, width: width).Ticks.Where(tick => tick.Text.Length > 0).ToList();

        labels.ShouldContain(tick => tick.Text == "0");
        labels.Zip(labels.Skip(1)).ShouldAllBe(pair => pair.Second.X - pair.First.X >= 20);
        labels.Zip(labels.Skip(1)).Select(pair => Month(pair.Second) - Month(pair.First)).Distinct().Count().ShouldBe(1);

        static int Month(AxisTick tick) => int.Parse(tick.Text, CultureInfo.InvariantCulture);
    }

    [Fact]
    public void Drawing_WhenNarrow_KeepsEveryDayInProportion()
    {
        var narrow = Layout(["moro"], width: TimelineLayout.Narrow);

        narrow.Width.ShouldBeLessThan(_frame.Width);
        narrow.LabelWidth.ShouldBe(_frame.LabelWidth);
        narrow.TodayX.ShouldBe(Math.Round(narrow.LabelWidth + 239 * (narrow.Width - narrow.LabelWidth - 14) / 424, 1));
        narrow.Lanes[0].UsualFrom!.Value.ShouldBe(Math.Round(narrow.LabelWidth + 181 * (narrow.Width - narrow.LabelWidth - 14) / 424, 1));
    }

    [Theory]
    [InlineData("moro", Response.Absent, TimelineMark.Absent)]
    [InlineData("moro", Response.Weak, TimelineMark.Weak)]
    [InlineData("moro", Response.Typical, TimelineMark.Typical)]
    [InlineData("moro", Response.Brisk, TimelineMark.Brisk)]
    [InlineData("moro", Response.Obligatory, TimelineMark.Obligatory)]
    [InlineData("landau", Response.Partial, TimelineMark.Partial)]
    [InlineData("landau", Response.Complete, TimelineMark.Complete)]
    public void Mark_Always_ShowsTheResponse(string item, Response response, TimelineMark kind)
    {
        var mark = OnlyMark(item, Samples.Seen(item, "2026-07-05", response));

        mark.Kind.ShouldBe(kind);
        mark.X.ShouldBe(At(181));
        mark.SideLetter.ShouldBe("");
        mark.Text.ShouldBe($"5 Jul 2026: {kind.ToString().ToLowerInvariant()}, Quiet, alert");
    }

    [Fact]
    public void Mark_WhenTheStateDoesNotSuit_SaysThatItDoesNotCount()
    {
        Samples.Item("moro").Suits(BehaviouralState.Crying).ShouldBeFalse();

        var mark = OnlyMark("moro", Samples.Seen("moro", "2026-07-05", Response.Absent, state: BehaviouralState.Crying));

        mark.Kind.ShouldBe(TimelineMark.Inconclusive);
        mark.Text.ShouldEndWith("(does not count: not a suitable state)");
    }

    [Fact]
    public void Mark_WhenNothingCouldBeTested_SaysWhy()
    {
        var mark = OnlyMark("moro", Samples.NotTested("moro", "2026-07-05", NotTestedReason.JustFed));

        mark.Kind.ShouldBe(TimelineMark.NotTested);
        mark.Text.ShouldBe("5 Jul 2026: could not be tested, Fed within the hour");
    }

    [Theory]
    [InlineData(Side.Left, "L", "left, typical")]
    [InlineData(Side.Right, "R", "right, typical")]
    public void Mark_WhenItIsOfOneSide_SaysWhich(Side side, string letter, string words)
    {
        var mark = OnlyMark("palmar_grasp", Samples.Seen("palmar_grasp", "2026-07-05", Response.Typical, side));

        mark.SideLetter.ShouldBe(letter);
        mark.Text.ShouldContain(words);
    }

    [Fact]
    public void Marks_Always_StandOnTheirOwnLaneInOrderOfDays()
    {
        var layout = Layout(
            ["moro", "rooting"],
            findings:
            [
                Samples.Seen("moro", "2026-08-01", Response.Weak),
                Samples.Seen("rooting", "2026-07-01", Response.Absent),
                Samples.Seen("moro", "2026-06-01", Response.Typical),
            ]
        );

        layout
            .Lanes.Single(lane => lane.ItemId == "moro")
            .Marks.Select(mark => mark.Kind)
            .ShouldBe([TimelineMark.Typical, TimelineMark.Weak]);
        layout.Lanes.Single(lane => lane.ItemId == "rooting").Marks.Select(mark => mark.Kind).ShouldBe([TimelineMark.Absent]);
    }

    [Fact]
    public void Lanes_Always_KeepTheOrderTheyCameIn()
    {
        var layout = Layout(["landau", "moro", "atnr"]);

        layout.Lanes.Select(lane => lane.ItemId).ShouldBe(["landau", "moro", "atnr"]);
        layout.Lanes.Select(lane => lane.Y).ShouldBe([49, 79, 109]);
        layout.Height.ShouldBe(34 + 3 * 30 + 6);
    }

    [Fact]
    public void Check_WhenOneIsPlanned_LiesBetweenItsDays()
    {
        var lane = TimelineLayout
            .Of(
                Samples.Preterm,
                Samples.Day("2026-03-05"),
                [Samples.Result("moro", checkFrom: "2026-09-05", checkThrough: "2026-10-05"), Samples.Result("rooting")],
                [],
                Samples.TodayOn,
                TimelineAxis.Corrected
            )
            .Lanes;

        lane[0].CheckFrom.ShouldBe(At(243));
        lane[0].CheckThrough.ShouldBe(At(273));
        lane[1].CheckFrom.ShouldBeNull();
        lane[1].CheckThrough.ShouldBeNull();
    }

    internal static TimelineLayout Layout(
        string[] items,
        string on = "2026-09-01",
        TimelineAxis axis = TimelineAxis.Corrected,
        BirthFacts? birth = null,
        double width = TimelineLayout.Wide,
        params Finding[] findings
    )
    {
        var child = birth ?? Samples.Preterm;
        var asOfOn = Samples.Day(on);
        var results = Samples.Interpreter.Interpret(new ChildFacts(child), findings, asOfOn).ToDictionary(result => result.Item.Id);
        return TimelineLayout.Of(child, child.AnchorOn(259), [.. items.Select(item => results[item])], findings, asOfOn, axis, width);
    }

    private static LaneMark OnlyMark(string item, Finding finding) =>
        Layout([item], findings: finding).Lanes[0].Marks.ShouldHaveSingleItem();

    private static double At(int days) => Math.Round(Left + days * (Right - Left) / 424, 1);

    private static double Tick(TimelineLayout layout, string text) => layout.Ticks.Single(tick => tick.Text == text).X;
}
