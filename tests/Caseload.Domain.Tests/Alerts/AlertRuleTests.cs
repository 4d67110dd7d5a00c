using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;

namespace Caseload.Domain.Tests.Alerts;

/// <summary>Which standing gives rise to which alert. Common practice, no source: what is asked of a programme's alerts is its own protocol.</summary>
public sealed class AlertRuleTests
{
    private const int Today = 739_000;

    [Theory]
    [InlineData(ItemState.Persisting, 1, Concern.Advisory, AlertKind.Persisting, Concern.Advisory)]
    [InlineData(ItemState.Persisting, 2, Concern.Act, AlertKind.Persisting, Concern.Act)]
    [InlineData(ItemState.DeadlinePassedUnchecked, 0, Concern.Watch, AlertKind.DeadlinePassed, Concern.Watch)]
    [InlineData(ItemState.AbsentWhenExpected, 0, Concern.Act, AlertKind.AbsentWhenExpected, Concern.Act)]
    [InlineData(ItemState.OneSided, 0, Concern.Act, AlertKind.OneSided, Concern.Act)]
    [InlineData(ItemState.Obligatory, 0, Concern.Act, AlertKind.Obligatory, Concern.SameDay)]
    [InlineData(ItemState.Returned, 0, Concern.SameDay, AlertKind.Returned, Concern.SameDay)]
    [InlineData(ItemState.Late, 1, Concern.Advisory, AlertKind.Late, Concern.Advisory)]
    [InlineData(ItemState.Late, 2, Concern.Act, AlertKind.Late, Concern.Act)]
    public void Item_OutOfTheOrdinary_GivesItsKindAndSeverity(ItemState state, int step, Concern concern, AlertKind kind, Concern severity)
    {
        var call = AlertRule.ForItem(Verdict(state, concern, step), isExcluded: false, Today);

        call.ShouldBe(new AlertCall(kind, (byte)step, severity, Today - 30));
    }

    [Theory]
    [InlineData(ItemState.NotYetExpected)]
    [InlineData(ItemState.ExpectedNotYetSeen)]
    [InlineData(ItemState.PresentAsExpected)]
    [InlineData(ItemState.Fading)]
    [InlineData(ItemState.Integrated)]
    [InlineData(ItemState.Emerging)]
    [InlineData(ItemState.Established)]
    public void Item_AsExpected_GivesNone(ItemState state) =>
        AlertRule.ForItem(Verdict(state, Concern.None), isExcluded: false, Today).ShouldBeNull();

    [Fact]
    public void Item_ThatTheProgrammeDoesNotSchedule_GivesNone() =>
        AlertRule.ForItem(Verdict(ItemState.DeadlinePassedUnchecked, Concern.None), isExcluded: false, Today).ShouldBeNull();

    [Theory]
    [InlineData(ItemState.DeadlinePassedUnchecked, false)]
    [InlineData(ItemState.AwaitingConfirmation, false)]
    [InlineData(ItemState.Persisting, true)]
    [InlineData(ItemState.Returned, true)]
    public void Item_ThatMustNotBeTested_AsksForNoCheckAndKeepsWhatWasFound(ItemState state, bool isRaised)
    {
        var verdict = Verdict(state, Concern.Watch) with { CheckThrough = Today - 1, Purpose = CheckPurpose.Confirm };

        (AlertRule.ForItem(verdict, isExcluded: true, Today) is not null).ShouldBe(isRaised);
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(0, false)]
    [InlineData(-1, true)]
    public void Confirmation_IsOverdue_TheDayAfterItsSpan(int daysLeft, bool isOverdue)
    {
        var verdict = Verdict(ItemState.AwaitingConfirmation, Concern.Watch) with
        {
            CheckThrough = Today + daysLeft,
            Purpose = CheckPurpose.Confirm,
        };

        var call = AlertRule.ForItem(verdict, isExcluded: false, Today);

        (call?.Kind).ShouldBe(isOverdue ? AlertKind.ConfirmOverdue : null);
        (call?.Since).ShouldBe(isOverdue ? Today + daysLeft + 1 : null);
    }

    [Theory]
    [InlineData(ItemState.AwaitingConfirmation, 5, 0, 6)]
    [InlineData(ItemState.AwaitingConfirmation, 5, 3, 3)]
    [InlineData(ItemState.AwaitingConfirmation, 5, 9, 6)]
    [InlineData(ItemState.AwaitingConfirmation, -1, 9, 9)]
    [InlineData(ItemState.Persisting, 5, 9, 9)]
    public void NextChange_IsTheEarlierOfStateAndConfirmation(ItemState state, int checkThrough, int stateChange, int expected)
    {
        var verdict = Verdict(state, Concern.Watch) with
        {
            CheckThrough = Today + checkThrough,
            Purpose = CheckPurpose.Confirm,
            NextChangeOn = stateChange == 0 ? 0 : Today + stateChange,
        };

        AlertRule.NextChangeOn(verdict, Today).ShouldBe(Today + expected);
    }

    [Theory]
    [InlineData(56, false)]
    [InlineData(57, true)]
    public void Contact_IsMissed_TheDayAfterTheWeeksAreOver(int daysSince, bool isMissed)
    {
        var notVisitedOn = AlertRule.NotVisitedOn(Today - daysSince, AlertPolicy.Default.NotVisitedWeeks);

        (AlertRule.ForContact(notVisitedOn, Today) is not null).ShouldBe(isMissed);
    }

    [Fact]
    public void Child_WithoutAClinician_IsAsked()
    {
        AlertRule.ForAssignment(hasClinician: false, Today)!.Value.Kind.ShouldBe(AlertKind.Unassigned);
        AlertRule.ForAssignment(hasClinician: true, Today).ShouldBeNull();
    }

    [Fact]
    public void Sign_OfTheUrgentList_IsToldTheSameDay() =>
        AlertRule.ForSign(Today).ShouldBe(new AlertCall(AlertKind.UrgentSign, 0, Concern.SameDay, Today));

    [Fact]
    public void Policy_Defaults_AreAccepted() => AlertPolicy.Default.Check().IsAccepted.ShouldBeTrue();

    [Theory]
    [InlineData(nameof(AlertPolicy.NotVisitedWeeks))]
    [InlineData(nameof(AlertPolicy.SameDayHours))]
    [InlineData(nameof(AlertPolicy.ActDays))]
    [InlineData(nameof(AlertPolicy.AdvisoryDays))]
    [InlineData(nameof(AlertPolicy.WatchDays))]
    [InlineData(nameof(AlertPolicy.DigestHour))]
    public void Policy_OutOfRange_IsRefusedAtItsField(string field)
    {
        var policy = field switch
        {
            nameof(AlertPolicy.NotVisitedWeeks) => AlertPolicy.Default with { NotVisitedWeeks = 0 },
            nameof(AlertPolicy.SameDayHours) => AlertPolicy.Default with { SameDayHours = 25 },
            nameof(AlertPolicy.ActDays) => AlertPolicy.Default with { ActDays = 15 },
            nameof(AlertPolicy.AdvisoryDays) => AlertPolicy.Default with { AdvisoryDays = 61 },
            nameof(AlertPolicy.WatchDays) => AlertPolicy.Default with { WatchDays = 0 },
            _ => AlertPolicy.Default with { DigestHour = 24 },
        };

        policy.Check().Refusals.ShouldHaveSingleItem().Field.ShouldBe(field);
    }

    private static ItemVerdict Verdict(ItemState state, Concern concern, int step = 0) =>
        new(state, (byte)step, IsConfirmed: false, Since: Today - 30, NextChangeOn: 0, 0, 0, CheckPurpose.None, concern);
}
