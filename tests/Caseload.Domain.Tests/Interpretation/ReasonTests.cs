using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Interpretation;

public sealed class ReasonTests
{
    /// <summary>One child for every state, with the age at which it is asked.</summary>
    private static readonly Dictionary<ItemState, (Func<Child> Child, int Months, int Days)> ByState = new()
    {
        [ItemState.NotYetExpected] = (() => Child.AtTerm().On("stnr"), 1, 0),
        [ItemState.ExpectedNotYetSeen] = (() => Child.AtTerm().On("moro"), 1, 0),
        [ItemState.PresentAsExpected] = (() => Child.AtTerm().On("moro").Seen(1, 0, Response.Typical).Seen(2, 0, Response.Typical), 3, 0),
        [ItemState.Fading] = (() => Child.AtTerm().On("moro").Seen(1, 0, Response.Typical).Seen(5, 0, Response.Weak), 5, 1),
        [ItemState.Integrated] = (() => Child.AtTerm().On("moro").Seen(4, 3, Response.Absent).Seen(5, 0, Response.Absent), 6, 0),
        [ItemState.AwaitingConfirmation] = (() => Child.AtTerm().On("moro").Seen(4, 3, Response.Absent), 5, 0),
        [ItemState.Persisting] = (() => Child.AtTerm().On("atnr").Seen(6, 20, Response.Typical).Seen(8, 0, Response.Weak), 9, 0),
        [ItemState.DeadlinePassedUnchecked] = (() => Child.AtTerm().On("moro"), 9, 0),
        [ItemState.AbsentWhenExpected] = (() => Child.AtTerm().On("moro").Seen(0, 9, Response.Absent).Seen(0, 20, Response.Absent), 1, 0),
        [ItemState.OneSided] = (
            () =>
                Child
                    .AtTerm()
                    .On("moro")
                    .Seen(1, 0, Response.Typical, Side.Left)
                    .Seen(1, 0, Response.Absent, Side.Right)
                    .Seen(1, 9, Response.Brisk, Side.Left)
                    .Seen(1, 9, Response.Absent, Side.Right),
            2,
            0
        ),
        [ItemState.Obligatory] = (() => Child.AtTerm().On("atnr").Seen(1, 0, Response.Obligatory).Seen(1, 9, Response.Obligatory), 2, 0),
        [ItemState.Returned] = (
            () =>
                Child
                    .AtTerm()
                    .On("moro")
                    .Seen(4, 0, Response.Absent)
                    .Seen(4, 7, Response.Absent)
                    .Seen(8, 0, Response.Weak)
                    .Seen(8, 9, Response.Weak),
            9,
            0
        ),
        [ItemState.Emerging] = (
            () => Child.AtTerm().On("protective_forward").Seen(7, 0, Response.Partial).Seen(8, 0, Response.Partial),
            9,
            0
        ),
        [ItemState.Established] = (
            () => Child.AtTerm().On("protective_forward").Seen(7, 0, Response.Complete).Seen(8, 0, Response.Complete),
            9,
            0
        ),
        [ItemState.Late] = (
            () => Child.AtTerm().On("protective_forward").Seen(9, 20, Response.Absent).Seen(10, 20, Response.Absent),
            11,
            0
        ),
    };

    public static TheoryData<ItemState> States => [.. Enum.GetValues<ItemState>()];

    [Theory]
    [MemberData(nameof(States))]
    public void Reasons_WhenAStateIsReached_NameEveryDateItRestsOn(ItemState state)
    {
        var (make, months, days) = ByState[state];
        var child = make();

        var result = child.At(months, days);

        result.State.ShouldBe(state);
        var text = string.Join(' ', result.Reasons.Select(reason => reason.Text));
        if (child.Findings.Count > 0)
        {
            text.ShouldContain(Day.Iso(child.Findings.Max(finding => finding.ObservedOn)));
        }
        if (result.SinceOn is { } sinceOn)
        {
            // A deadline that passed holds from the day after its grace, and it is the grace that the reason names.
            text.ShouldContain(Day.Iso(state == ItemState.DeadlinePassedUnchecked ? sinceOn.AddDays(-1) : sinceOn));
        }
        if (result.NextChangeOn is { } nextChangeOn)
        {
            text.ShouldContain(Day.Iso(state == ItemState.NotYetExpected ? nextChangeOn : nextChangeOn.AddDays(-1)));
        }
    }

    [Theory]
    [MemberData(nameof(States))]
    public void Reasons_WhenTheyNameAFigure_NameItsSources(ItemState state)
    {
        var (make, months, days) = ByState[state];

        foreach (var reason in make().At(months, days).Reasons.Where(reason => reason.Text.Contains(" month", StringComparison.Ordinal)))
        {
            reason.Sources.ShouldNotBeEmpty(reason.Text);
            reason.Sources.ShouldAllBe(key => ReferenceSets.Default.FindSource(key) != null);
        }
    }

    [Theory]
    [MemberData(nameof(States))]
    public void Reasons_WhenTheySpeakOfFindings_PointToThoseOfThatDay(ItemState state)
    {
        var (make, months, days) = ByState[state];
        var child = make();
        var byId = child.Findings.ToDictionary(finding => finding.Id);

        var reasons = child.At(months, days).Reasons;

        foreach (var reason in reasons)
        {
            reason.FindingIds.ShouldAllBe(id =>
                byId.ContainsKey(id) && reason.Text.Contains(Day.Iso(byId[id].ObservedOn), StringComparison.Ordinal)
                || reason.Code == ReasonCode.WeakerThanBefore
            );
        }
        reasons.Any(reason => reason.FindingIds.Count > 0).ShouldBe(child.Findings.Count > 0);
    }

    [Fact]
    public void Reasons_WhenMoroIsExpected_ReadAsASentence() =>
        Texts(Child.AtTerm().On("moro"), 1, 0)
            .ShouldBe([
                "Expected since 2026-01-05 (28 weeks postmenstrual age).",
                "No check that counts is recorded.",
                "Usually gone by 2026-07-05 (6 months); with grace, through 2026-07-19.",
            ]);

    [Fact]
    public void Reasons_WhenAtnrPersists_GiveBothStepsAndTheBeginning()
    {
        var child = Child.AtTerm().On("atnr").Seen(6, 20, Response.Typical).Seen(7, 10, Response.Weak);

        Texts(child, 8, 0)
            .ShouldBe([
                "Last check that counts: weak on 2026-08-15.",
                "Still seen after the usual deadline 2026-07-05 (6 months) and its grace through 2026-07-19.",
                "Also after the latest published limit 2026-08-05 (7 months).",
                "It has been so since 2026-07-25.",
            ]);
        child.At(8, 0).Reasons[1].Sources.ShouldBe(["UTAH", "common-practice"]);
        child.At(8, 0).Reasons[2].Sources.ShouldBe(["TEP11", "NELSON"]);
        child.At(8, 0).Reasons[3].FindingIds.ShouldBe([child.Findings[0].Id]);
    }

    [Fact]
    public void Reasons_WhenMoroIsIntegrated_GiveBothAbsences() =>
        Texts(Child.AtTerm().On("moro").Seen(4, 0, Response.Absent).Seen(4, 9, Response.Absent), 6, 0)
            .ShouldBe(["Absent on 2026-05-05.", "Absent again on 2026-05-14, at least 7 days later, so it counts as integrated."]);

    [Fact]
    public void Reasons_WhenNobodyCheckedSinceTheGrace_SayThatNothingWasFound()
    {
        // Seen within the grace: the sentence must still be true.
        Texts(Child.AtTerm().On("moro").Seen(6, 10, Response.Typical), 8, 0)
            .ShouldBe([
                "Last check that counts: typical on 2026-07-15.",
                "No check that counts since 2026-07-19, when the grace after the deadline 2026-07-05 ended. This is a missing check, not a finding.",
            ]);
    }

    [Fact]
    public void Reasons_WhenPlantarGraspIsAbsent_GiveTheSpanAndItsSource()
    {
        var child = Child.AtTerm().On("plantar_grasp").Seen(2, 0, Response.Absent).SeenIn(2, 3, Response.Absent, BehaviouralState.Crying);

        Texts(child, 3, 0)
            .ShouldBe([
                "Absent on 2026-03-05.",
                "Between 2026-01-05 and 2026-07-05 its absence matters.",
                "Not yet confirmed by a check on another day.",
                "The check on 2026-03-08 cannot count: crying is not a suitable state for it.",
            ]);
        child.At(3, 0).Reasons[1].Sources.ShouldBe(["FUT1999", "FUT2010"]);
    }

    [Fact]
    public void Reasons_WhenSidesDiffer_NameThem() =>
        Texts(Child.AtTerm().On("moro").Seen(1, 0, Response.Typical, Side.Left).Seen(1, 0, Response.Absent, Side.Right), 1, 0)
            .ShouldBe(["Last check that counts: typical on 2026-02-05.", "On 2026-02-05 the sides differed: left typical, right absent."]);

    [Fact]
    public void Reasons_WhenParachuteIsPartialTooLong_GiveTheAgeAndItsSource()
    {
        var child = Child.AtTerm().On("protective_forward").Seen(12, 1, Response.Partial);

        Texts(child, 13, 0)
            .ShouldBe([
                "Last check that counts: partial on 2027-01-06.",
                "It is still partial; a partial response is accepted through 2027-01-05.",
            ]);
        child.At(13, 0).Reasons[1].Sources.ShouldBe(["ROMEO2009"]);
    }

    [Fact]
    public void Reasons_WhenFadingWithinTheWindow_NameBothEndsAndTheirSources()
    {
        var reason = Child.AtTerm().On("babkin").Seen(4, 0, Response.Weak).At(4, 0).Reasons[1];

        reason.Text.ShouldBe("That is within the span in which it usually goes, 2026-04-05 to 2026-06-05 (3 months to 5 months).");
        reason.Sources.ShouldBe(["FUT1987", "FUT2013", "BAB-IN"]);
    }

    private static IEnumerable<string> Texts(Child child, int months, int days) =>
        child.At(months, days).Reasons.Select(reason => reason.Text);
}
