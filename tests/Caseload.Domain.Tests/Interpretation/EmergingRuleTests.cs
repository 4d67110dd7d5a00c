using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>What findings of a reaction that emerges mean: the forward parachute (6 to 9 months, matters from 10) and Landau.</summary>
/// <remarks>The ages from which absence matters are common practice, no source; so are grace, confirmation and priorities.</remarks>
public sealed class EmergingRuleTests
{
    [Theory]
    [InlineData(6, -1, ItemState.NotYetExpected)]
    [InlineData(6, 0, ItemState.ExpectedNotYetSeen)]
    [InlineData(9, 14, ItemState.ExpectedNotYetSeen)]
    [InlineData(9, 15, ItemState.DeadlinePassedUnchecked)]
    public void Interpret_WhenNobodyLooked_FollowsTheDates(int months, int days, ItemState state) =>
        Parachute().At(months, days).State.ShouldBe(state);

    [Fact]
    public void Interpret_WhenNobodyLooked_ForetellsBothChanges()
    {
        var child = Parachute();

        child.At(0, 0).NextChangeOn.ShouldBe(child.DayAt(6, 0));
        child.At(6, 0).NextChangeOn.ShouldBe(child.DayAt(9, 15));
        child.At(9, 15).NextChangeOn.ShouldBeNull();
        child.At(9, 15).SinceOn.ShouldBe(child.DayAt(9, 15));
    }

    [Theory]
    [InlineData(9, 14, ItemState.ExpectedNotYetSeen, 0, Concern.None)]
    [InlineData(9, 15, ItemState.Late, 1, Concern.Advisory)]
    [InlineData(10, 0, ItemState.Late, 1, Concern.Advisory)]
    [InlineData(10, 1, ItemState.Late, 2, Concern.Act)]
    public void Interpret_WhenAbsent_IsLateInTwoSteps(int months, int days, ItemState state, int step, Concern concern)
    {
        var result = Parachute().Seen(months, days, Response.Absent).At(months, days);

        (result.State, (int)result.Verdict.Step, result.Verdict.Concern).ShouldBe((state, step, concern));
    }

    [Fact]
    public void Interpret_WhenAbsentAgainAndAgain_IsLateSinceTheFirstLateOne()
    {
        var child = Parachute().Seen(8, 0, Response.Absent).Seen(9, 20, Response.Absent).Seen(10, 20, Response.Absent);

        var result = child.At(11, 0);

        (result.State, (int)result.Verdict.Step, result.SinceOn).ShouldBe((ItemState.Late, 2, child.DayAt(9, 20)));
    }

    [Theory]
    [InlineData(7, 0, ItemState.Emerging)]
    [InlineData(9, 15, ItemState.Emerging)]
    [InlineData(10, 1, ItemState.Emerging)]
    [InlineData(12, 0, ItemState.Emerging)]
    [InlineData(12, 1, ItemState.Late)]
    public void Interpret_WhenParachuteIsPartial_IsNotLateBefore12Months(int months, int days, ItemState state)
    {
        // Romeo et al., BMC Pediatr 2009;9:13: 21 % of healthy infants still incomplete at 12 months corrected.
        var result = Parachute().Seen(months, days, Response.Partial).At(months, days);

        result.State.ShouldBe(state);
        result.Verdict.Step.ShouldBe((byte)(state == ItemState.Late ? 1 : 0));
    }

    [Fact]
    public void Interpret_WhenPartialBeforeTheDeadline_LapsesAfterTheGrace()
    {
        var child = Parachute().Seen(8, 0, Response.Partial);

        child.At(9, 14).State.ShouldBe(ItemState.Emerging);
        child.At(9, 14).NextChangeOn.ShouldBe(child.DayAt(9, 15));
        child.At(9, 15).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
    }

    [Fact]
    public void Interpret_WhenPartialAfterTheDeadline_LapsesAfterTheAcceptedAge()
    {
        var child = Parachute().Seen(9, 1, Response.Partial);

        child.At(9, 1).NextChangeOn.ShouldBe(child.DayAt(12, 1));
        child.At(12, 0).State.ShouldBe(ItemState.Emerging);
        child.At(12, 1).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
        child.At(12, 1).SinceOn.ShouldBe(child.DayAt(12, 1));
    }

    [Fact]
    public void Interpret_WhenComplete_IsEstablishedForGood()
    {
        var child = Parachute().Seen(7, 0, Response.Partial).Seen(8, 0, Response.Complete).Seen(9, 0, Response.Complete);

        var result = child.At(36, 0);

        (result.State, result.SinceOn, result.NextChangeOn, result.NextCheck).ShouldBe(
            (ItemState.Established, child.DayAt(8, 0), null, null)
        );
    }

    [Fact]
    public void Interpret_WhenLessThanBefore_IsEmergingAndSaysSo()
    {
        // Dev Med Child Neurol 1976;18:41-53: fewer than 10 % went back between visits, so one step back is watched, not flagged.
        var child = Parachute().Seen(8, 0, Response.Complete).Seen(13, 0, Response.Partial);

        var result = child.At(13, 0);

        result.State.ShouldBe(ItemState.Emerging);
        result.Reasons.ShouldContain(reason => reason.Text == "It was complete on 2026-09-05, so it is less than it was.");
    }

    [Fact]
    public void Interpret_WhenLostAfterItWasThere_IsAbsentWhenExpected()
    {
        var child = Parachute().Seen(8, 0, Response.Complete).Seen(11, 0, Response.Absent);
        var once = child.At(11, 0);
        var twice = child.Seen(11, 1, Response.Absent).At(11, 1);

        (once.State, once.Verdict.IsConfirmed, once.Verdict.Concern).ShouldBe((ItemState.AbsentWhenExpected, false, Concern.Advisory));
        (twice.State, twice.Verdict.IsConfirmed, twice.Verdict.Concern).ShouldBe((ItemState.AbsentWhenExpected, true, Concern.Act));
        twice.SinceOn.ShouldBe(child.DayAt(11, 0));
    }

    [Fact]
    public void Interpret_WhenOneArmIsMissing_IsOneSided()
    {
        var child = Parachute().Seen(9, 0, Response.Complete, Side.Left).Seen(9, 0, Response.Absent, Side.Right);

        var result = child.At(9, 0);

        (result.State, result.Verdict.Concern, result.SinceOn).ShouldBe((ItemState.OneSided, Concern.Act, child.DayAt(9, 0)));
    }

    [Fact]
    public void Interpret_WhenOneArmIsOnlyPartial_IsEmerging() =>
        Parachute()
            .Seen(9, 0, Response.Complete, Side.Left)
            .Seen(9, 0, Response.Partial, Side.Right)
            .At(9, 0)
            .State.ShouldBe(ItemState.Emerging);

    [Fact]
    public void Interpret_WhenOnlyOneArmWasTestedAndComplete_IsEmerging() =>
        Parachute().Seen(9, 0, Response.Complete, Side.Left).At(9, 0).State.ShouldBe(ItemState.Emerging);

    [Fact]
    public void Interpret_WhenOnlyOneArmWasTestedAndAbsent_IsNoAbsence() =>
        Parachute().Seen(9, 20, Response.Absent, Side.Left).At(9, 20).State.ShouldBe(ItemState.DeadlinePassedUnchecked);

    [Fact]
    public void Interpret_WhenTheOneSidedLookIsFollowedByAnEvenOne_IsEstablished() =>
        Parachute()
            .Seen(9, 0, Response.Complete, Side.Left)
            .Seen(9, 0, Response.Absent, Side.Right)
            .Seen(9, 10, Response.Complete)
            .At(9, 10)
            .State.ShouldBe(ItemState.Established);

    // Landau usually fades between 12 and 24 months: anonymous revision cards (CARDS-B), low authority; FIO1963 (from memory) says 24 to 30.
    [Theory]
    [InlineData(12, -1, ItemState.AbsentWhenExpected)]
    [InlineData(12, 0, ItemState.AwaitingConfirmation)]
    [InlineData(23, 0, ItemState.AwaitingConfirmation)]
    [InlineData(30, 0, ItemState.AwaitingConfirmation)]
    public void Interpret_WhenLandauGoes_FadesFromTheFirstDayOfItsSpan(int months, int days, ItemState state) =>
        Landau().Seen(6, 0, Response.Complete).Seen(months, days, Response.Absent).At(months, days).State.ShouldBe(state);

    [Theory]
    [InlineData(6, ItemState.AwaitingConfirmation)]
    [InlineData(7, ItemState.Integrated)]
    public void Interpret_WhenLandauIsAbsentTwiceInItsSpan_IntegratesSevenDaysApart(int daysApart, ItemState state) =>
        Landau()
            .Seen(6, 0, Response.Complete)
            .Seen(12, 0, Response.Absent)
            .Seen(12, daysApart, Response.Absent)
            .At(13, 0)
            .State.ShouldBe(state);

    [Fact]
    public void Interpret_WhenLandauNeverCame_IsNotIntegratedByItsFadingSpan()
    {
        // A reaction that was late stays late: absence at an age at which others lose it does not make it gone as it should.
        var child = Landau()
            .Seen(7, 0, Response.Absent)
            .Seen(9, 0, Response.Absent)
            .Seen(12, 0, Response.Absent)
            .Seen(12, 10, Response.Absent)
            .Seen(24, 0, Response.Absent);

        child.At(12, 10).State.ShouldBe(ItemState.Late);
        child.At(24, 0).Verdict.Concern.ShouldBe(Concern.Act);
        child.Seen(24, 1, Response.Absent).At(24, 1).State.ShouldBe(ItemState.AwaitingConfirmation);
        child.Seen(24, 8, Response.Absent).At(24, 8).State.ShouldBe(ItemState.Integrated);
    }

    [Fact]
    public void Interpret_WhenLandauWasLostEarly_StaysLostInItsFadingSpan()
    {
        var child = Landau().Seen(6, 0, Response.Complete).Seen(9, 0, Response.Absent).Seen(12, 0, Response.Absent);

        var result = child.At(12, 0);

        (result.State, result.Verdict.IsConfirmed, result.SinceOn).ShouldBe((ItemState.AbsentWhenExpected, true, child.DayAt(9, 0)));
    }

    [Fact]
    public void Interpret_WhenLandauIsPartialAfterSixMonths_IsLate()
    {
        // Only the forward parachute has a published age up to which a part is normal.
        Landau().Seen(6, 0, Response.Partial).At(6, 0).State.ShouldBe(ItemState.Emerging);
        Landau().Seen(6, 1, Response.Partial).At(6, 1).State.ShouldBe(ItemState.Late);
    }

    [Fact]
    public void Interpret_WhenLandauIsThereAtFiveMonths_IsEstablished() =>
        // Dev Med Child Neurol 1976;18:41-53: 45 % at 4 months, 90 % at 5 to 10 months (30 term infants).
        Landau().Seen(5, 0, Response.Complete).At(5, 0).State.ShouldBe(ItemState.Established);

    private static Child Parachute() => Child.AtTerm().On("protective_forward");

    private static Child Landau() => Child.AtTerm().On("landau");
}
