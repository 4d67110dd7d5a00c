using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>What findings of a reflex that gives way mean, by its ages: Moro 4 to 6 months, ATNR 4 to 6 with a latest limit at 7.</summary>
/// <remarks>The figures themselves are checked against their sources with the reference set. The grace of 14 days, the 7 days between two
/// absences and the priorities between states are common practice, no source.</remarks>
public sealed partial class ReflexRuleTests
{
    [Fact]
    public void Interpret_WhenOnsetHasNotCome_IsNotYetExpected()
    {
        var child = Child.AtTerm().On("stnr"); // onset 4 months: KUMC, TEP11

        var result = child.At(4, -1);

        result.State.ShouldBe(ItemState.NotYetExpected);
        result.SinceOn.ShouldBeNull();
        result.NextChangeOn.ShouldBe(child.DayAt(4, 0));
        child.At(4, 0).State.ShouldBe(ItemState.ExpectedNotYetSeen);
    }

    [Fact]
    public void Interpret_WhenOnsetCountsInPostmenstrualWeeks_TurnsOnThatDay()
    {
        var child = Child.Preterm().On("positive_support_neonatal"); // onset 35 weeks: KUMC, CARDS-C; born at 28 weeks

        child.At(0, -36).State.ShouldBe(ItemState.NotYetExpected); // 34+6
        child.At(0, -35).State.ShouldBe(ItemState.ExpectedNotYetSeen); // 35+0
        child.At(0, -35).ExpectedFromOn.ShouldBe(Day.Of("2026-02-23"));
    }

    [Fact]
    public void Interpret_WhenOnsetLiesBeforeBirth_IsExpectedFromBirth() =>
        Child.AtTerm().On("moro").At(0, 0).ExpectedFromOn.ShouldBe(Day.Of("2026-01-05"));

    [Fact]
    public void Interpret_WhenNobodyLooked_LapsesTheDayAfterTheGrace()
    {
        var child = Child.AtTerm().On("moro");

        var lastDay = child.At(6, 14);
        var dayAfter = child.At(6, 15);

        lastDay.State.ShouldBe(ItemState.ExpectedNotYetSeen);
        lastDay.NextChangeOn.ShouldBe(child.DayAt(6, 15));
        dayAfter.State.ShouldBe(ItemState.DeadlinePassedUnchecked);
        dayAfter.SinceOn.ShouldBe(child.DayAt(6, 15));
        dayAfter.NextChangeOn.ShouldBeNull();
        dayAfter.Verdict.Concern.ShouldBe(Concern.Watch);
    }

    [Theory]
    [InlineData(0, 3)]
    [InlineData(3, 29)]
    [InlineData(4, 0)]
    [InlineData(6, 0)]
    [InlineData(6, 14)]
    public void Interpret_WhenSeenByTheEndOfTheGrace_IsPresentAsExpected(int months, int days)
    {
        var child = Child.AtTerm().On("moro").Seen(months, days, Response.Typical);

        var result = child.At(months, days);

        result.State.ShouldBe(ItemState.PresentAsExpected);
        result.SinceOn.ShouldBe(child.DayAt(months, days));
        result.NextChangeOn.ShouldBe(child.DayAt(6, 15));
        result.Verdict.Concern.ShouldBe(Concern.None);
    }

    [Fact]
    public void Interpret_WhenLastSeenBeforeTheDeadline_LapsesInsteadOfPersisting()
    {
        var child = Child.AtTerm().On("moro").Seen(5, 20, Response.Typical);

        child.At(6, 14).State.ShouldBe(ItemState.PresentAsExpected);
        child.At(6, 15).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
        child.At(24, 0).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
    }

    [Theory]
    [InlineData(6, 14, ItemState.PresentAsExpected, 0, Concern.None)]
    [InlineData(6, 15, ItemState.Persisting, 1, Concern.Advisory)] // University of Utah: after 6 months it is abnormal
    [InlineData(7, 0, ItemState.Persisting, 1, Concern.Advisory)] // latest published 7 months: TEP11, NELSON (from memory)
    [InlineData(7, 1, ItemState.Persisting, 2, Concern.Act)]
    [InlineData(9, 0, ItemState.Persisting, 2, Concern.Act)] // Pocket Pediatrics: persistence at 9 months is suspicious
    public void Interpret_WhenAtnrIsSeenAfterItsDeadline_PersistsInTwoSteps(
        int months,
        int days,
        ItemState state,
        int step,
        Concern concern
    )
    {
        var result = Child.AtTerm().On("atnr").Seen(months, days, Response.Typical).At(months, days);

        (result.State, (int)result.Verdict.Step, result.Verdict.Concern).ShouldBe((state, step, concern));
    }

    [Fact]
    public void Interpret_WhenSeenAgainAndAgainAfterTheDeadline_PersistsSinceTheFirst()
    {
        var child = Child
            .AtTerm()
            .On("atnr")
            .Seen(5, 0, Response.Typical)
            .Seen(6, 10, Response.Typical)
            .Seen(6, 20, Response.Weak)
            .Seen(7, 5, Response.Weak);

        var result = child.At(8, 0);

        result.State.ShouldBe(ItemState.Persisting);
        result.SinceOn.ShouldBe(child.DayAt(6, 20));
        result.Verdict.Step.ShouldBe((byte)2);
        child.At(7, 0).Verdict.Step.ShouldBe((byte)1);
    }

    [Fact]
    public void Interpret_WhenLatestLimitLiesInsideTheGrace_IsNotPastItBeforeTheGraceEnds()
    {
        // Moro: usual deadline and latest published limit are both 6 months (BROWN, SP-MORO; NELSON from memory).
        Child.AtTerm().On("moro").Seen(6, 14, Response.Typical).At(6, 14).State.ShouldBe(ItemState.PresentAsExpected);
        Child.AtTerm().On("moro").Seen(6, 15, Response.Typical).At(6, 15).Verdict.Step.ShouldBe((byte)2);
    }

    [Fact]
    public void Interpret_WhenNoLatestLimitIsPublished_StaysAtStepOne()
    {
        // Placing: sources call its end variable (PHYSDX), so there is no limit to act on.
        var result = Child.AtTerm().On("placing").Seen(30, 0, Response.Typical).At(30, 0);

        (result.State, (int)result.Verdict.Step).ShouldBe((ItemState.Persisting, 1));
        result.LatestThroughOn.ShouldBeNull();
        result.Reasons.ShouldContain(reason => reason.Code == ReasonCode.NoLatestLimit);
    }

    [Theory]
    [InlineData(6, 0)]
    [InlineData(9, 0)]
    [InlineData(12, 0)]
    public void Interpret_WhenPlantarGraspIsSeenInTheFirstYear_IsNotPersisting(int months, int days)
    {
        // Olhweiler et al., Arq Neuropsiquiatr 2002;60:294-7: 100 % at 6 months, and still seen at 9 and 12 months corrected, in
        // healthy preterm infants.
        Child
            .AtTerm()
            .On("plantar_grasp")
            .Seen(months, days, Response.Typical)
            .At(months, days)
            .State.ShouldBe(ItemState.PresentAsExpected);
        Child.Preterm().On("plantar_grasp").Seen(months, days, Response.Weak).At(months, days).Verdict.Concern.ShouldBe(Concern.None);
    }

    [Theory]
    [InlineData(12, 14, ItemState.PresentAsExpected, 0)]
    [InlineData(12, 15, ItemState.Persisting, 1)] // SP-ROOT, OLH2002: 12 months
    [InlineData(15, 0, ItemState.Persisting, 1)]
    [InlineData(15, 1, ItemState.Persisting, 2)] // Zafeiriou 2004: 15 months (table seen in a copy)
    public void Interpret_WhenPlantarGraspOutlastsTheFirstYear_Persists(int months, int days, ItemState state, int step)
    {
        var result = Child.AtTerm().On("plantar_grasp").Seen(months, days, Response.Typical).At(months, days);

        (result.State, (int)result.Verdict.Step).ShouldBe((state, step));
    }

    [Fact]
    public void Interpret_WhenBabkinIsSeenAfterFiveMonths_CallsForAction()
    {
        // Futagi et al., Pediatr Neurol 2013;49:149-55: gone in the great majority by the end of month 5; any after 5 months is abnormal.
        var result = Child.AtTerm().On("babkin").Seen(5, 15, Response.Weak).At(5, 15);

        (result.State, result.Verdict.Concern).ShouldBe((ItemState.Persisting, Concern.Act));
    }

    [Theory]
    [InlineData(3, 29, ItemState.PresentAsExpected)] // 4 May, the day before the window opens
    [InlineData(4, 0, ItemState.Fading)]
    [InlineData(6, 14, ItemState.Fading)]
    [InlineData(6, 15, ItemState.Persisting)]
    public void Interpret_WhenWeakInItsWindow_IsFading(int months, int days, ItemState state)
    {
        var child = Child.AtTerm().On("moro").Seen(months, days, Response.Weak);

        child.At(months, days).State.ShouldBe(state);
    }

    [Fact]
    public void Interpret_WhenWeakerThanBefore_IsFadingAtAnyAge()
    {
        var child = Child.AtTerm().On("moro").Seen(1, 0, Response.Typical).Seen(2, 20, Response.Weak);

        var result = child.At(2, 20);

        result.State.ShouldBe(ItemState.Fading);
        result.SinceOn.ShouldBe(child.DayAt(2, 20));
        result.NextChangeOn.ShouldBe(child.DayAt(6, 15));
    }

    [Fact]
    public void Interpret_WhenAlwaysWeakBeforeItsWindow_IsPresent() =>
        Child
            .AtTerm()
            .On("moro")
            .Seen(1, 0, Response.Weak)
            .Seen(2, 20, Response.Weak)
            .At(2, 20)
            .State.ShouldBe(ItemState.PresentAsExpected);

    [Theory]
    [InlineData(1)]
    [InlineData(24)]
    [InlineData(36)]
    public void Interpret_WhenStartleIsSeen_HasNoDeadline(int months)
    {
        // TEP11 (O'Sullivan): persists for life; the other book of the same handout says 4 to 6 months, so no deadline is set.
        var result = Child.AtTerm().On("startle").Seen(1, 0, Response.Typical).At(months, 0);

        (result.State, result.NextChangeOn, result.UsualThroughOn).ShouldBe((ItemState.PresentAsExpected, null, null));
        result.Reasons.ShouldContain(reason => reason.Code == ReasonCode.NoDeadline);
    }
}
