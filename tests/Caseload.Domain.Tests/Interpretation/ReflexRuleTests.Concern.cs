using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

public sealed partial class ReflexRuleTests
{
    [Theory]
    [InlineData(Response.Typical, Response.Absent, true)]
    [InlineData(Response.Weak, Response.Absent, true)]
    [InlineData(Response.Brisk, Response.Weak, true)]
    [InlineData(Response.Weak, Response.Brisk, true)]
    [InlineData(Response.Typical, Response.Weak, false)]
    [InlineData(Response.Typical, Response.Typical, false)]
    [InlineData(Response.Brisk, Response.Typical, false)]
    public void Interpret_WhenSidesDiffer_IsOneSidedFromTwoGradesOrAgainstNothing(Response left, Response right, bool isOneSided)
    {
        // Brown Med-Peds: an asymmetric reflex in the newborn period is a finding. That two grades are a difference: common practice, no source.
        var result = Child.AtTerm().On("moro").Seen(1, 0, left, Side.Left).Seen(1, 0, right, Side.Right).At(1, 0);

        result.State.ShouldBe(isOneSided ? ItemState.OneSided : ItemState.PresentAsExpected);
        result.Verdict.Concern.ShouldBe(isOneSided ? Concern.Act : Concern.None);
    }

    [Fact]
    public void Interpret_WhenSidesWereTestedOnDifferentDays_IsNotOneSided()
    {
        var child = Child.AtTerm().On("moro").Seen(1, 0, Response.Typical, Side.Left).Seen(1, 1, Response.Absent, Side.Right);

        child.At(1, 1).State.ShouldBe(ItemState.PresentAsExpected);
    }

    [Fact]
    public void Interpret_WhenSidesKeepDiffering_IsOneSidedSinceTheFirst()
    {
        var child = Child
            .AtTerm()
            .On("palmar_grasp")
            .Seen(1, 0, Response.Typical)
            .Seen(2, 0, Response.Typical, Side.Left)
            .Seen(2, 0, Response.Absent, Side.Right)
            .Seen(2, 10, Response.Weak, Side.Left)
            .Seen(2, 20, Response.Brisk, Side.Left)
            .Seen(2, 20, Response.Weak, Side.Right);

        var result = child.At(3, 0);

        (result.State, result.SinceOn).ShouldBe((ItemState.OneSided, child.DayAt(2, 0)));
    }

    [Fact]
    public void Interpret_WhenSidesComeEven_IsNoLongerOneSided() =>
        Child
            .AtTerm()
            .On("palmar_grasp")
            .Seen(2, 0, Response.Typical, Side.Left)
            .Seen(2, 0, Response.Absent, Side.Right)
            .Seen(2, 10, Response.Typical)
            .At(2, 10)
            .State.ShouldBe(ItemState.PresentAsExpected);

    [Theory]
    [InlineData(0, 10)]
    [InlineData(3, 0)]
    [InlineData(9, 0)]
    [InlineData(30, 0)]
    public void Interpret_WhenAtnrIsObligatory_CallsForActionAtAnyAge(int months, int days)
    {
        // University of Utah, Pediatric NeuroLogic Exam: an obligatory pattern is abnormal at any age.
        var child = Child.AtTerm().On("atnr").Seen(months, days, Response.Obligatory);

        var result = child.At(months, days);

        (result.State, result.Verdict.Concern).ShouldBe((ItemState.Obligatory, Concern.Act));
        result.SinceOn.ShouldBe(child.DayAt(months, days));
    }

    [Fact]
    public void Interpret_WhenObligatoryOnOneSide_IsObligatory() =>
        Child.AtTerm().On("atnr").Seen(2, 0, Response.Obligatory, Side.Left).At(2, 0).State.ShouldBe(ItemState.Obligatory);

    [Fact]
    public void Interpret_WhenNoLongerObligatory_IsPresent()
    {
        var child = Child.AtTerm().On("atnr").Seen(2, 0, Response.Obligatory).Seen(2, 10, Response.Obligatory);

        child.At(2, 10).SinceOn.ShouldBe(child.DayAt(2, 0));
        child.Seen(2, 20, Response.Brisk).At(2, 20).State.ShouldBe(ItemState.PresentAsExpected);
    }

    [Fact]
    public void Interpret_WhenSeenAfterIntegration_HasReturned()
    {
        // Brown Med-Peds; A.D.A.M.: reappearance is a sign of disease. The same-day route: common practice, no source.
        var child = Integrated().Seen(9, 0, Response.Weak);

        var result = child.At(9, 0);

        (result.State, result.Verdict.Concern).ShouldBe((ItemState.Returned, Concern.SameDay));
        result.SinceOn.ShouldBe(child.DayAt(9, 0));
    }

    [Fact]
    public void Interpret_WhenItReturnedAndWasSeenAgain_HasReturnedSinceTheFirst()
    {
        var child = Integrated()
            .Seen(9, 0, Response.Weak)
            .Seen(9, 5, Response.Typical)
            .Seen(10, 0, Response.Absent)
            .Seen(10, 3, Response.Weak);

        child.At(10, 0).State.ShouldBe(ItemState.AwaitingConfirmation);
        child.At(10, 3).SinceOn.ShouldBe(child.DayAt(9, 0));
        child.At(10, 3).State.ShouldBe(ItemState.Returned);
    }

    [Fact]
    public void Interpret_WhenItReturnedAndWentAgain_IsIntegratedAgain()
    {
        var child = Integrated().Seen(9, 0, Response.Weak).Seen(10, 0, Response.Absent).Seen(10, 7, Response.Absent);

        child.At(10, 7).State.ShouldBe(ItemState.Integrated);
        child.At(10, 7).SinceOn.ShouldBe(child.DayAt(10, 7));
        child.Seen(11, 0, Response.Weak).At(11, 0).SinceOn.ShouldBe(child.DayAt(11, 0));
    }

    [Fact]
    public void Interpret_WhenSeveralStatesApply_TakesTheMostUrgent()
    {
        // Returned before obligatory before one-sided before persisting: common practice, no source.
        var persisting = Child.AtTerm().On("atnr").Seen(9, 0, Response.Typical);
        var oneSided = Child.AtTerm().On("atnr").Seen(9, 0, Response.Typical, Side.Left).Seen(9, 0, Response.Absent, Side.Right);
        var obligatory = Child.AtTerm().On("atnr").Seen(9, 0, Response.Obligatory, Side.Left).Seen(9, 0, Response.Absent, Side.Right);
        var returned = Integrated().Seen(9, 0, Response.Obligatory, Side.Left).Seen(9, 0, Response.Absent, Side.Right);

        new[] { persisting, oneSided, obligatory, returned }
            .Select(child => child.At(9, 0).State)
            .ShouldBe([ItemState.Persisting, ItemState.OneSided, ItemState.Obligatory, ItemState.Returned]);
        returned
            .At(9, 0)
            .Reasons.Select(reason => reason.Code)
            .ShouldBe([
                ReasonCode.SeenOn,
                ReasonCode.IntegratedOn,
                ReasonCode.SeenAgainOn,
                ReasonCode.ObligatoryOn,
                ReasonCode.SidesDiffer,
                ReasonCode.PastUsualDeadline,
                ReasonCode.PastLatestLimit,
            ]);
    }

    [Theory]
    [InlineData(BehaviouralState.Crying)]
    [InlineData(BehaviouralState.DeepSleep)]
    [InlineData(BehaviouralState.LightSleep)]
    [InlineData(BehaviouralState.Drowsy)]
    public void Interpret_WhenInfantWasInAnUnsuitableState_IsInconclusiveNotNegative(BehaviouralState state)
    {
        var without = Child.AtTerm().On("moro");
        var child = Child.AtTerm().On("moro").SeenIn(0, 10, Response.Absent, state);

        var result = child.At(0, 10);

        result.State.ShouldBe(without.At(0, 10).State);
        result.Reasons.ShouldContain(reason => reason.Code == ReasonCode.InconclusiveOn);
        result.NextCheck!.Purpose.ShouldBe(CheckPurpose.RepeatInconclusive);
    }

    [Fact]
    public void Interpret_WhenASightingWasInAnUnsuitableState_DoesNotPersist() =>
        Child
            .AtTerm()
            .On("atnr")
            .SeenIn(8, 0, Response.Typical, BehaviouralState.Crying)
            .At(8, 0)
            .State.ShouldBe(ItemState.DeadlinePassedUnchecked);

    [Fact]
    public void Interpret_WhenStateIsNotRecorded_CountsAndSaysSo()
    {
        var result = Child.AtTerm().On("moro").SeenIn(1, 0, Response.Typical, null).At(1, 0);

        result.State.ShouldBe(ItemState.PresentAsExpected);
        result.Reasons[^1].Text.ShouldBe("No behavioural state is recorded for 2026-02-05.");
    }

    [Fact]
    public void Interpret_WhenOnlyOneSideWasAbsent_IsNoAbsence()
    {
        var result = Child.AtTerm().On("moro").Seen(0, 10, Response.Absent, Side.Left).At(0, 10);

        result.State.ShouldBe(ItemState.ExpectedNotYetSeen);
        result.Reasons.ShouldContain(reason => reason.Code == ReasonCode.OneSideOnly);
    }

    [Fact]
    public void Interpret_WhenBothSidesWereAbsentOneByOne_IsAbsent() =>
        Child
            .AtTerm()
            .On("moro")
            .Seen(0, 10, Response.Absent, Side.Left)
            .Seen(0, 10, Response.Absent, Side.Right)
            .At(0, 10)
            .State.ShouldBe(ItemState.AbsentWhenExpected);

    [Fact]
    public void Interpret_WhenTriedSeveralTimesADay_TakesTheStrongest()
    {
        var child = Child
            .AtTerm()
            .On("moro")
            .Seen(0, 10, Response.Absent)
            .Seen(0, 10, Response.Brisk)
            .Seen(0, 10, Response.Weak)
            .SeenIn(0, 10, Response.Obligatory, BehaviouralState.Crying);

        var result = child.At(0, 10);

        result.State.ShouldBe(ItemState.PresentAsExpected);
        result.Reasons[0].Text.ShouldBe("Last check that counts: brisk on 2026-01-15.");
        result.Reasons[0].FindingIds.Count.ShouldBe(4);
    }

    [Fact]
    public void Interpret_WhenItCouldNotBeTested_StaysAsItWas()
    {
        var child = Child.AtTerm().On("moro").Seen(5, 0, Response.Typical).NotTested(6, 10);

        child.At(6, 10).State.ShouldBe(ItemState.PresentAsExpected);
        child.At(6, 10).Reasons.ShouldContain(reason => reason.Code == ReasonCode.NotTestedOn);
        child.At(6, 15).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
    }

    private static Child Integrated() =>
        Child.AtTerm().On("atnr").Seen(1, 0, Response.Typical).Seen(5, 0, Response.Absent).Seen(5, 10, Response.Absent);
}
