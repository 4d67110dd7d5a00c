using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Statistics;
using Caseload.Domain.Tests.Interpretation;
using CsCheck;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>
/// What two consecutive absences say of the age at integration. The Moro reflex is expected from birth in the built-in set, usually goes
/// between four and six months, and its absence is a concern up to two; ages are counted from 5 January 2026, or from 30 March when preterm.
/// The rule that two absences are needed is common practice, no source.
/// </summary>
public sealed class IntegrationTimesTests
{
    private static readonly Interpreter Default = new(ReferenceSets.Default, ReviewPolicy.Default);

    [Fact]
    public void Of_TwoAbsencesAfterASighting_LiesBetweenTheSightingAndTheFirstAbsence()
    {
        var child = Child
            .AtTerm()
            .Seen(3, 0, Response.Typical)
            .Seen(4, 10, Response.Weak)
            .Seen(5, 0, Response.Absent)
            .Seen(6, 0, Response.Absent);

        // From 5 January: 5 May is day 120 and 15 May day 130; 5 June is day 151.
        Told(child, 8, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_AChildBornPreterm_CountsFromTheExpectedDate()
    {
        var child = Child.Preterm().Seen(4, 0, Response.Weak).Seen(5, 0, Response.Absent).Seen(6, 0, Response.Absent);

        // From 30 March to 30 July are 122 days, to 30 August 153.
        Told(child, 8, 0).ShouldBe(new EventInterval(122, 153));
    }

    [Fact]
    public void Of_TwoAbsencesWithoutASighting_BeginsAtZero() =>
        Told(Child.AtTerm().Seen(5, 0, Response.Absent).Seen(6, 0, Response.Absent), 8, 0).ShouldBe(new EventInterval(0, 151));

    [Fact]
    public void Of_OneAbsenceAtTheEnd_IsNotByTheLastSighting() =>
        Told(Child.AtTerm().Seen(4, 10, Response.Weak).Seen(5, 0, Response.Absent), 8, 0).ShouldBe(EventInterval.NotBy(130));

    [Fact]
    public void Of_AbsencesTooCloseTogether_IsNotByTheLastSighting()
    {
        // Seven days lie between the two absences that count, by the default policy.
        var early = Child.AtTerm().Seen(4, 10, Response.Weak).Seen(5, 0, Response.Absent).Seen(5, 6, Response.Absent);

        Told(early, 8, 0).ShouldBe(EventInterval.NotBy(130));
        Told(early.Seen(5, 7, Response.Absent), 8, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_AnAbsenceBetweenSightings_IsForgotten()
    {
        var child = Child
            .AtTerm()
            .Seen(4, 0, Response.Absent)
            .Seen(4, 10, Response.Weak)
            .Seen(5, 0, Response.Absent)
            .Seen(6, 0, Response.Absent);

        Told(child, 8, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_AReturnAfterIntegration_LeavesTheFirstIntegration()
    {
        var child = Child
            .AtTerm()
            .Seen(4, 10, Response.Weak)
            .Seen(5, 0, Response.Absent)
            .Seen(6, 0, Response.Absent)
            .Seen(8, 0, Response.Typical);

        child.At(8, 0).State.ShouldBe(ItemState.Returned);
        Told(child, 9, 0).ShouldBe(new EventInterval(130, 151));
        Told(child.Seen(9, 0, Response.Absent).Seen(10, 0, Response.Absent), 12, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_ALaterDay_LooksAtNothingLater()
    {
        var child = Child.AtTerm().Seen(4, 10, Response.Weak).Seen(5, 0, Response.Absent).Seen(6, 0, Response.Absent);

        Told(child, 4, 0).ShouldBeNull();
        Told(child, 4, 10).ShouldBe(EventInterval.NotBy(130));
        Told(child, 5, 20).ShouldBe(EventInterval.NotBy(130));
        Told(child, 6, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_ChecksThatCannotCount_PassesThemOver()
    {
        var child = Child
            .AtTerm()
            .Seen(4, 10, Response.Weak)
            .Seen(4, 20, Response.Absent, Side.Left)
            .NotTested(4, 25)
            .SeenIn(4, 26, Response.Absent, BehaviouralState.Crying)
            .Seen(5, 0, Response.Absent)
            .Seen(6, 0, Response.Absent);

        Told(child, 8, 0).ShouldBe(new EventInterval(130, 151));
    }

    [Fact]
    public void Of_AbsencesAtAnAgeAtWhichTheyAreAConcern_AreNoIntegration()
    {
        var child = Child.AtTerm().Seen(0, 10, Response.Typical).Seen(1, 0, Response.Absent).Seen(1, 20, Response.Absent);

        Told(child, 2, 0).ShouldBe(EventInterval.NotBy(10));
    }

    [Fact]
    public void Of_AChildSeenBeforeTheExpectedDateOnly_IsNotKnown()
    {
        // Corrected ages below zero say nothing of integration, which is not looked for before the expected date.
        var child = Child.Preterm().Seen(-1, 0, Response.Typical);

        Told(child, 3, 0).ShouldBeNull();
        Told(child.Seen(5, 0, Response.Absent).Seen(6, 0, Response.Absent), 8, 0).ShouldBe(new EventInterval(0, 153));
    }

    [Fact]
    public void Of_NoFindings_IsNotKnown() => Told(Child.AtTerm(), 12, 0).ShouldBeNull();

    [Fact]
    public void Of_AnItemThatDoesNotGiveWay_IsRefused()
    {
        var child = Child.AtTerm();
        var course = ChildCourse.Of(Default, child.Facts, child.Findings);
        var emerging = ReferenceSets.Default.Items.ToList().FindIndex(item => item.Course == ItemCourse.Emerges);

        Should.Throw<ArgumentException>(() => IntegrationTimes.Of(course, emerging, child.DayAt(12, 0)));
    }

    [Fact]
    public void Of_AnyHistory_IsIntegratedIfAndOnlyIfTheInterpreterOnceSaidSo() =>
        Generators.Situations.Sample(
            situation =>
            {
                if (situation.ItemOf(ReferenceSets.Default).Course != ItemCourse.GivesWay)
                {
                    return;
                }
                var course = ChildCourse.Of(Default, situation.Child, situation.Findings);
                var time = IntegrationTimes.Of(course, situation.Item, situation.AsOfOn);
                var integratedOn = situation
                    .Findings.Select(finding => finding.ObservedOn)
                    .Order()
                    .Where(on => on <= situation.AsOfOn)
                    .Cast<DateOnly?>()
                    .FirstOrDefault(on => course.On(situation.Item, on!.Value).State == ItemState.Integrated);

                (time?.Through is not null).ShouldBe(integratedOn is not null);
                if (integratedOn is { } on)
                {
                    // The absence that confirmed it came later than the one it is counted from, by the policy's days.
                    var anchorOn = situation.Child.Birth.AnchorOn(ReviewPolicy.Default.CorrectBelowDays);
                    var through = anchorOn.AddDays((int)time!.Value.Through!.Value);
                    course.On(situation.Item, through).State.ShouldNotBe(ItemState.Integrated);
                    (on.DayNumber - through.DayNumber).ShouldBeGreaterThanOrEqualTo(ReviewPolicy.Default.ConfirmAfterDays);
                    situation.Findings.ShouldContain(finding => finding.ObservedOn == through && finding.Response == Response.Absent);
                }
            },
            iter: 20_000
        );

    [Fact]
    public void CurveOf_FewerChildrenThanTheMinimum_IsRefused()
    {
        // Twenty is our assumption, no source.
        var times = Enumerable.Range(0, 20).Select(child => new EventInterval(90 + child, 150 + child)).ToList();

        IntegrationTimes.CurveOf(times).Value.Count.ShouldBe(20);
        var refused = IntegrationTimes.CurveOf(times[..19]);
        refused.IsAccepted.ShouldBeFalse();
        refused.Refusals.ShouldHaveSingleItem().Message.ShouldContain("fewer than 20 children; something is known of 19");
    }

    private static EventInterval? Told(Child child, int months, int days)
    {
        var moro = ReferenceSets.Default.Items.ToList().FindIndex(item => item.Id == "moro");
        return IntegrationTimes.Of(ChildCourse.Of(Default, child.Facts, child.Findings), moro, child.DayAt(months, days));
    }
}
