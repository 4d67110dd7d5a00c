using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

public sealed partial class ReflexRuleTests
{
    [Theory]
    [InlineData(6, ItemState.AwaitingConfirmation)]
    [InlineData(7, ItemState.Integrated)]
    public void Interpret_WhenAbsentTwice_IntegratesOnlySevenDaysApart(int daysApart, ItemState state)
    {
        var child = Child
            .AtTerm()
            .On("moro")
            .Seen(1, 0, Response.Typical)
            .Seen(4, 10, Response.Absent)
            .Seen(4, 10 + daysApart, Response.Absent);

        var result = child.At(5, 0);

        result.State.ShouldBe(state);
        result.SinceOn.ShouldBe(child.DayAt(4, state == ItemState.Integrated ? 10 + daysApart : 10));
        result.NextChangeOn.ShouldBeNull();
        result.Verdict.Concern.ShouldBe(state == ItemState.Integrated ? Concern.None : Concern.Watch);
    }

    [Fact]
    public void Interpret_WhenAbsentTwiceOnOneDay_AwaitsConfirmation() =>
        Child
            .AtTerm()
            .On("moro")
            .Seen(4, 10, Response.Absent)
            .Seen(4, 10, Response.Absent)
            .At(5, 0)
            .State.ShouldBe(ItemState.AwaitingConfirmation);

    [Fact]
    public void Interpret_WhenAbsencesFollowClosely_CountsFromTheFirst()
    {
        var child = Child
            .AtTerm()
            .On("moro")
            .Seen(4, 10, Response.Absent)
            .Seen(4, 14, Response.Absent)
            .Seen(4, 17, Response.Absent)
            .Seen(4, 28, Response.Absent);

        child.At(5, 0).SinceOn.ShouldBe(child.DayAt(4, 17));
    }

    [Fact]
    public void Interpret_WhenSeenBetweenTwoAbsences_StartsAgain() =>
        Child
            .AtTerm()
            .On("moro")
            .Seen(4, 0, Response.Absent)
            .Seen(4, 5, Response.Weak)
            .Seen(4, 20, Response.Absent)
            .At(5, 0)
            .State.ShouldBe(ItemState.AwaitingConfirmation);

    [Fact]
    public void Interpret_WhenOneAbsenceFollowsThePersistence_AwaitsConfirmation()
    {
        var child = Child.AtTerm().On("atnr").Seen(7, 10, Response.Typical).Seen(8, 0, Response.Absent);

        child.At(8, 0).State.ShouldBe(ItemState.AwaitingConfirmation);
        child.Seen(8, 7, Response.Absent).At(8, 7).State.ShouldBe(ItemState.Integrated);
    }

    [Fact]
    public void Interpret_WhenNeverSeen_IntegratesOnlyOnceItUsuallyGoes()
    {
        var early = Child.AtTerm().On("moro").Seen(2, 20, Response.Absent).Seen(3, 10, Response.Absent);
        var inWindow = Child.AtTerm().On("moro").Seen(4, 0, Response.Absent).Seen(4, 7, Response.Absent);

        early.At(3, 10).State.ShouldBe(ItemState.ExpectedNotYetSeen);
        early.At(3, 10).Reasons.ShouldContain(reason => reason.Code == ReasonCode.AbsenceMeansLittle);
        inWindow.At(4, 7).State.ShouldBe(ItemState.Integrated);
    }

    // common practice, no source: Moro 0 to 2 months
    [Theory]
    [InlineData(0, 0, ItemState.AbsentWhenExpected)]
    [InlineData(2, 0, ItemState.AbsentWhenExpected)]
    [InlineData(2, 1, ItemState.ExpectedNotYetSeen)]
    public void Interpret_WhenMoroIsAbsent_MattersThroughTheLastDayOfItsSpan(int months, int days, ItemState state) =>
        Child.AtTerm().On("moro").Seen(months, days, Response.Absent).At(months, days).State.ShouldBe(state);

    [Theory]
    [InlineData(0, 0, ItemState.AbsentWhenExpected)]
    [InlineData(3, 0, ItemState.AbsentWhenExpected)]
    [InlineData(6, 0, ItemState.AbsentWhenExpected)]
    [InlineData(6, 1, ItemState.ExpectedNotYetSeen)]
    public void Interpret_WhenPlantarGraspIsAbsentBeforeSixMonths_IsAbsentWhenExpected(int months, int days, ItemState state) =>
        // Futagi et al., Pediatr Neurol 1999;20:111-5: 834 of 834 normal infants responded within the first six months.
        Child.AtTerm().On("plantar_grasp").Seen(months, days, Response.Absent).At(months, days).State.ShouldBe(state);

    [Fact]
    public void Interpret_WhenAbsenceIsFoundOnASecondDay_IsConfirmed()
    {
        // Two valid absences on different days: common practice, no source.
        var child = Child.AtTerm().On("plantar_grasp").Seen(3, 0, Response.Absent);
        var once = child.At(3, 1);
        var twice = child.Seen(3, 1, Response.Absent).At(3, 1);

        (once.State, once.Verdict.IsConfirmed, once.Verdict.Concern).ShouldBe((ItemState.AbsentWhenExpected, false, Concern.Advisory));
        (twice.State, twice.Verdict.IsConfirmed, twice.Verdict.Concern).ShouldBe((ItemState.AbsentWhenExpected, true, Concern.Act));
        twice.SinceOn.ShouldBe(child.DayAt(3, 0));
    }

    [Fact]
    public void Interpret_WhenSeenAfterAnAbsenceThatMattered_IsPresent() =>
        Child
            .AtTerm()
            .On("plantar_grasp")
            .Seen(3, 0, Response.Absent)
            .Seen(3, 7, Response.Typical)
            .At(3, 7)
            .State.ShouldBe(ItemState.PresentAsExpected);

    // Allen & Capute, Pediatr Res 1986;20:1284-9: stepping, placing and positive support are not universal even at term.
    // Futagi et al., Pediatr Neurol 2013;49:149-55: some normal newborns show no Babkin.
    [Theory]
    [InlineData("stepping")]
    [InlineData("placing")]
    [InlineData("positive_support_neonatal")]
    [InlineData("babkin")]
    [InlineData("atnr")] // no source asks for it at any age
    public void Interpret_WhenAbsenceMeansNothingAlone_NeverFlagsIt(string item)
    {
        for (var day = 0; day <= 200; day += 5)
        {
            var child = Child.AtTerm().On(item).Seen(0, day, Response.Absent).Seen(0, day + 10, Response.Absent);

            var result = child.At(0, day + 10);

            result.State.ShouldNotBe(ItemState.AbsentWhenExpected);
            (result.Verdict.Concern <= Concern.Watch).ShouldBeTrue($"{item}, day {day}");
            (child.At(0, day).Verdict.Concern <= Concern.Watch).ShouldBeTrue($"{item}, day {day}");
        }
    }

    [Theory]
    [InlineData(0, -1, ItemState.ExpectedNotYetSeen)]
    [InlineData(0, 0, ItemState.AbsentWhenExpected)]
    public void Interpret_WhenBornPreterm_AbsenceMattersFromTheExpectedDate(int months, int days, ItemState state) =>
        Child.Preterm().On("moro").Seen(months, days, Response.Absent).At(months, days).State.ShouldBe(state);

    [Fact]
    public void Interpret_WhenAbsentTwiceBeforeTheExpectedDate_IsNotIntegrated()
    {
        // Responses of a preterm infant still come and go; an absence there must neither integrate nor turn the next sighting into a return.
        var child = Child.Preterm().On("moro").Seen(0, -60, Response.Weak).Seen(0, -40, Response.Absent).Seen(0, -20, Response.Absent);

        child.At(0, -1).State.ShouldBe(ItemState.ExpectedNotYetSeen);
        Child
            .Preterm()
            .On("moro")
            .Seen(0, -60, Response.Weak)
            .Seen(0, -40, Response.Absent)
            .Seen(0, -20, Response.Absent)
            .Seen(1, 0, Response.Typical)
            .At(1, 0)
            .State.ShouldBe(ItemState.PresentAsExpected);
        child.Seen(1, 0, Response.Absent).At(1, 0).State.ShouldBe(ItemState.AbsentWhenExpected);
    }

    [Fact]
    public void Interpret_WhenStartleIsAbsentTwice_IsNotIntegrated()
    {
        // What stays for life does not integrate (TEP11, O'Sullivan), so seeing it again later is no return.
        var child = Child.AtTerm().On("startle").Seen(1, 0, Response.Typical).Seen(3, 0, Response.Absent).Seen(4, 0, Response.Absent);

        child.At(4, 0).State.ShouldBe(ItemState.ExpectedNotYetSeen);
        child.Seen(5, 0, Response.Typical).At(5, 0).State.ShouldBe(ItemState.PresentAsExpected);
    }
}
