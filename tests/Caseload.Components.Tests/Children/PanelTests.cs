using Bunit;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Children;

namespace Caseload.Components.Tests.Children;

public sealed class NextChecksTests : ComponentTest
{
    [Fact]
    public void Checks_Always_StandByTheirLastDay()
    {
        var checks = Checks(
            Samples.Result("moro", checkFrom: "2026-09-02", checkThrough: "2026-10-30"),
            Samples.Result("rooting", checkFrom: "2026-09-20", checkThrough: "2026-09-25"),
            Samples.Result("atnr"),
            Samples.Result("galant", checkFrom: "2026-08-01", checkThrough: "2026-08-31")
        );

        checks.AllWords("li strong").ShouldBe(["Galant, trunk incurvation", "Rooting", "Moro"]);
    }

    [Theory]
    [InlineData("2026-08-01", "2026-08-31", "overdue since 31 Aug 2026", true)]
    [InlineData("2026-08-01", "2026-09-01", "now, by 1 Sep 2026", false)]
    [InlineData("2026-09-01", "2026-09-09", "now, by 9 Sep 2026", false)]
    [InlineData("2026-09-02", "2026-09-09", "2 Sep 2026 to 9 Sep 2026", false)]
    public void Check_Always_SaysWhenItIsDue(string from, string through, string text, bool isOverdue)
    {
        var when = Checks(Samples.Result("moro", checkFrom: from, checkThrough: through)).Find("li .nowrap");

        when.Words().ShouldBe(text);
        when.ClassList.Contains("overdue").ShouldBe(isOverdue);
    }

    [Fact]
    public void Checks_WhenThereAreMoreThanEight_OpenOnDemand()
    {
        var results = ReferenceSets
            .Default.Items.Take(10)
            .Select(item => Samples.Result(item.Id, checkFrom: "2026-09-01", checkThrough: "2026-09-20"));
        var checks = Checks([.. results]);

        checks.FindAll("li").Count.ShouldBe(8);
        checks.Control("Show 2 more").Click();
        checks.FindAll("li").Count.ShouldBe(10);
        checks.Control("Show fewer").GetAttribute("aria-expanded").ShouldBe("true");
    }

    [Fact]
    public void Checks_WhenNoneIsPlanned_SaySo() => Checks(Samples.Result("moro")).Words().ShouldContain("No check is planned.");

    private IRenderedComponent<NextChecks> Checks(params ItemResult[] results) =>
        Render<NextChecks>(checks => checks.Add(c => c.Results, results).Add(c => c.TodayOn, Samples.TodayOn));
}

public sealed class ConcernsPanelTests : ComponentTest
{
    private readonly List<ConcernChange> _raised = [];

    [Fact]
    public void Concern_WhileItStands_NamesTheItemsThatMayBeRelated()
    {
        var panel = Panel(Standing());

        panel.Find("li").Words().ShouldContain("Since 20 Aug 2026. May be related; check: Moro, Rooting.");
    }

    [Fact]
    public void Resolved_WhenTapped_AsksToResolveThatRow()
    {
        Panel(Standing()).Control("Resolved").Click();

        _raised.ShouldBe([new ConcernChange(Samples.Id(1), "rolling", true)]);
    }

    [Fact]
    public void Reopen_WhenTapped_AsksToReopenThatRow()
    {
        var panel = Panel(Standing() with { ResolvedOn = Samples.Day("2026-08-30") });

        panel.Find("li").Words().ShouldContain("resolved 30 Aug 2026");
        panel.Control("Reopen").Click();

        _raised.ShouldBe([new ConcernChange(Samples.Id(1), "rolling", false)]);
    }

    [Fact]
    public void Record_BeforeAConcernIsChosen_CannotBeTapped() => Panel().Control("Record").HasAttribute("disabled").ShouldBeTrue();

    [Fact]
    public void Record_WhenAConcernIsChosen_AsksToRecordItAndEmptiesTheChoice()
    {
        var panel = Panel();

        panel.Find("select").Change("feeding");
        panel.Control("Record").Click();

        _raised.ShouldBe([new ConcernChange(null, "feeding", false)]);
        panel.Control("Record").HasAttribute("disabled").ShouldBeTrue();
    }

    [Fact]
    public void Choices_Always_AreThoseOfTheReferenceSet() =>
        Panel().FindAll("option").Count.ShouldBe(ReferenceSets.Default.Concerns.Count + 1);

    private static ChildConcernRow Standing() =>
        new(Samples.Id(1), "rolling", "Rolling", Samples.Day("2026-08-20"), null, ["Moro", "Rooting"]);

    private IRenderedComponent<ConcernsPanel> Panel(params ChildConcernRow[] rows) =>
        Render<ConcernsPanel>(panel =>
            panel
                .Add(p => p.Concerns, rows)
                .Add(p => p.Choices, ReferenceSets.Default.Concerns)
                .Add(p => p.OnChange, change => _raised.Add(change))
        );
}

public sealed class ExclusionsPanelTests : ComponentTest
{
    private readonly List<ExclusionChange> _raised = [];

    [Fact]
    public void Exclusion_WhileItLasts_CanBeEndedToday()
    {
        var panel = Panel(new ChildExclusionRow(Samples.Id(1), Exclusion.HipOrthosis, Samples.Day("2026-08-01"), null, true));

        panel.Control("End Hip orthosis or harness today").Click();

        _raised.ShouldBe([new ExclusionChange(Samples.Id(1), Exclusion.HipOrthosis, Samples.Day("2026-08-01"), Samples.TodayOn)]);
    }

    [Fact]
    public void Exclusion_WhenItsEndIsKnown_SaysUntilWhenAndOffersNoEnd()
    {
        var panel = Panel(
            new ChildExclusionRow(Samples.Id(1), Exclusion.Reflux, Samples.Day("2026-08-01"), Samples.Day("2026-09-30"), true)
        );

        panel.Find(".exclusion").Words().ShouldBe("Reflux, through 30 Sep 2026");
        panel.FindAll(".exclusion button").ShouldBeEmpty();
    }

    [Fact]
    public void Exclusion_BeforeItHolds_SaysFromWhen()
    {
        var panel = Panel(new ChildExclusionRow(Samples.Id(1), Exclusion.RecentSurgery, Samples.Day("2026-09-10"), null, false));

        panel.Find(".exclusion").Words().ShouldContain("Recent surgery, from 10 Sep 2026");
        panel.Words().ShouldContain("None recorded");
    }

    [Fact]
    public void Exclusion_WhenItIsOver_IsNotShown() =>
        Panel(new ChildExclusionRow(Samples.Id(1), Exclusion.Reflux, Samples.Day("2026-08-01"), Samples.Day("2026-08-31"), false))
            .FindAll(".exclusion")
            .ShouldBeEmpty();

    [Fact]
    public void Exclusion_WhenAdded_IsRaisedWithItsDays()
    {
        var panel = Panel();

        panel.Control("Add an exclusion").Click();
        panel.Find("#exclusion-from").GetAttribute("value").ShouldBe("2026-09-01");
        panel.Find("#exclusion").Change("Tracheostomy");
        panel.Find("#exclusion-from").Input("2026-08-15");
        panel.Find("#exclusion-through").Input("2026-10-15");
        panel.Control("Add").Click();

        _raised.ShouldBe([new ExclusionChange(null, Exclusion.Tracheostomy, Samples.Day("2026-08-15"), Samples.Day("2026-10-15"))]);
        panel.FindAll("#exclusion").ShouldBeEmpty();
    }

    [Fact]
    public void Adding_WhenCancelled_RaisesNothing()
    {
        var panel = Panel();

        panel.Control("Add an exclusion").Click();
        panel.Control("Cancel").Click();

        _raised.ShouldBeEmpty();
        panel.FindAll("#exclusion").ShouldBeEmpty();
    }

    private IRenderedComponent<ExclusionsPanel> Panel(params ChildExclusionRow[] rows) =>
        Render<ExclusionsPanel>(panel =>
            panel.Add(p => p.Exclusions, rows).Add(p => p.TodayOn, Samples.TodayOn).Add(p => p.OnChange, change => _raised.Add(change))
        );
}

public sealed class ClosingPanelTests : ComponentTest
{
    private readonly List<string?> _raised = [];

    [Fact]
    public void Closing_AtFirst_IsOneTapAway()
    {
        var panel = Panel(null);

        panel.FindAll("input").ShouldBeEmpty();
        panel.Control("Close this case…").Click();
        panel.Find("input#closing-reason").ShouldNotBeNull();
        _raised.ShouldBeEmpty();
    }

    [Fact]
    public void Closing_WhenAReasonIsGiven_IsRaisedWithIt()
    {
        var panel = Panel(null);

        panel.Control("Close this case…").Click();
        panel.Find("#closing-reason").Input("Moved away");
        panel.Control("Close the case").Click();

        _raised.ShouldBe(["Moved away"]);
    }

    [Fact]
    public void Closing_WhenTheCaseIsKeptOpen_RaisesNothing()
    {
        var panel = Panel(null);

        panel.Control("Close this case…").Click();
        panel.Control("Keep it open").Click();

        _raised.ShouldBeEmpty();
        panel.FindAll("input").ShouldBeEmpty();
    }

    [Fact]
    public void Opening_WhenTheCaseIsClosed_IsRaisedWithoutAReason()
    {
        Panel("2026-08-30").Control("Open this case again").Click();

        _raised.ShouldBe([null]);
    }

    [Fact]
    public void Refusal_WhenTheReasonIsNotEnough_StandsAtTheField()
    {
        var panel = Panel(null, "Say why the case is closed.");

        panel.Control("Close this case…").Click();

        panel.Find("[role=alert]").Words().ShouldBe("Say why the case is closed.");
    }

    private IRenderedComponent<ClosingPanel> Panel(string? closedOn, string? problem = null) =>
        Render<ClosingPanel>(panel =>
            panel
                .Add(p => p.ClosedOn, closedOn is null ? null : Samples.Day(closedOn))
                .Add(p => p.OnChange, reason => _raised.Add(reason))
                .Add(p => p.Problem, problem)
        );
}

public sealed class VisitsPanelTests : ComponentTest
{
    [Fact]
    public void Visits_Always_SayWhoAndHowMuch()
    {
        var panel = Panel(
            new ChildVisitRow(Samples.Id(1), Samples.Day("2026-08-20"), "R. Marsh", 1, false),
            new ChildVisitRow(Samples.Id(2), Samples.Day("2026-08-01"), null, 7, false),
            new ChildVisitRow(Samples.Id(3), Samples.Day("2026-07-01"), "R. Marsh", 2, true)
        );

        panel
            .AllWords("li")
            .ShouldBe(["20 Aug 2026 R. Marsh, 1 finding", "1 Aug 2026 no clinician, 7 findings", "1 Jul 2026 R. Marsh, not finished"]);
        panel.Find("li a").GetAttribute("href").ShouldBe($"visits/{Samples.Id(1)}");
    }

    [Fact]
    public void Visits_WhenThereAreMoreThanSix_OpenOnDemand()
    {
        var panel = Panel([
            .. Enumerable.Range(1, 9).Select(day => new ChildVisitRow(Samples.Id(day), Samples.TodayOn.AddDays(-day), null, 1, false)),
        ]);

        panel.FindAll("li").Count.ShouldBe(6);
        panel.Control("Show 3 more").Click();
        panel.FindAll("li").Count.ShouldBe(9);
    }

    private IRenderedComponent<VisitsPanel> Panel(params ChildVisitRow[] rows) =>
        Render<VisitsPanel>(panel => panel.Add(p => p.Visits, rows));
}
