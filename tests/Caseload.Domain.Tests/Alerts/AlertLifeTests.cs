using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Alerts;

/// <summary>The life of an alert as the project's issue lays it down; the spans are our assumption, without a source.</summary>
public sealed class AlertLifeTests
{
    private static readonly DateOnly _todayOn = Day.Of("2026-11-25");
    private static readonly DateOnly _raisedOn = Day.Of("2026-11-20");

    [Theory]
    [InlineData(AlertState.Open, AlertAnswer.Acknowledge, AlertState.Acknowledged)]
    [InlineData(AlertState.Open, AlertAnswer.Act, AlertState.ActedOn)]
    [InlineData(AlertState.Open, AlertAnswer.SetAside, AlertState.SetAside)]
    [InlineData(AlertState.Acknowledged, AlertAnswer.Acknowledge, null)]
    [InlineData(AlertState.Acknowledged, AlertAnswer.Act, AlertState.ActedOn)]
    [InlineData(AlertState.Acknowledged, AlertAnswer.SetAside, AlertState.SetAside)]
    [InlineData(AlertState.ActedOn, AlertAnswer.Acknowledge, null)]
    [InlineData(AlertState.ActedOn, AlertAnswer.Act, AlertState.ActedOn)]
    [InlineData(AlertState.ActedOn, AlertAnswer.SetAside, AlertState.SetAside)]
    [InlineData(AlertState.SetAside, AlertAnswer.Acknowledge, AlertState.Acknowledged)]
    [InlineData(AlertState.SetAside, AlertAnswer.Act, AlertState.ActedOn)]
    [InlineData(AlertState.SetAside, AlertAnswer.SetAside, AlertState.SetAside)]
    [InlineData(AlertState.Closed, AlertAnswer.Acknowledge, null)]
    [InlineData(AlertState.Closed, AlertAnswer.Act, null)]
    [InlineData(AlertState.Closed, AlertAnswer.SetAside, null)]
    public void Answer_InEachState_LeadsToTheNextOrIsRefused(AlertState state, AlertAnswer answer, AlertState? next)
    {
        var entry = answer switch
        {
            AlertAnswer.Act => new AlertEntry(answer, AlertAction.Rechecked, _todayOn, null),
            AlertAnswer.SetAside => new AlertEntry(answer, null, _todayOn.AddDays(1), "away on holiday"),
            _ => new AlertEntry(answer, null, null, null),
        };

        var answered = AlertLife.Answer(new AnsweredAlert(state, Concern.Advisory, _raisedOn), entry, _todayOn);

        AlertLife.Allows(state, answer).ShouldBe(next is not null);
        if (next is null)
        {
            answered.Refusals.Select(refusal => refusal.Field).ShouldBe(["answer"]);
        }
        else
        {
            answered.Value.ShouldBe(next.Value);
        }
    }

    [Fact]
    public void Table_OfTheTestAbove_CoversEveryPair() =>
        (Enum.GetValues<AlertState>().Length * Enum.GetValues<AlertAnswer>().Length).ShouldBe(15);

    [Theory]
    [InlineData("2026-11-25", null)]
    [InlineData("2026-11-20", null)]
    [InlineData("2026-10-21", null)] // 30 days before it was raised
    [InlineData("2026-10-20", "on")]
    [InlineData("2026-11-26", "on")]
    [InlineData(null, "on")]
    public void Action_Always_LiesBetweenAMonthBeforeTheRaisingAndToday(string? on, string? refused) =>
        Fields(Concern.Act, new AlertEntry(AlertAnswer.Act, AlertAction.ToldPhysician, At(on), null)).ShouldBe(refused ?? "");

    [Theory]
    [InlineData(AlertAction.Other, null, "note")]
    [InlineData(AlertAction.Other, "  ", "note")]
    [InlineData(AlertAction.Other, "Showed the family how to hold her", "")]
    [InlineData(AlertAction.Referred, null, "")]
    [InlineData(null, null, "action")]
    public void Action_Always_SaysWhat(AlertAction? action, string? note, string refused) =>
        Fields(Concern.Act, new AlertEntry(AlertAnswer.Act, action, _todayOn, note)).ShouldBe(refused);

    [Theory]
    [InlineData(Concern.SameDay, 1, "")]
    [InlineData(Concern.SameDay, 7, "")]
    [InlineData(Concern.SameDay, 8, "on")]
    [InlineData(Concern.Act, 8, "")]
    [InlineData(Concern.Act, 90, "")]
    [InlineData(Concern.Act, 91, "on")]
    [InlineData(Concern.Advisory, 90, "")]
    [InlineData(Concern.Watch, 90, "")]
    [InlineData(Concern.Watch, 91, "on")]
    [InlineData(Concern.Watch, 0, "on")]
    [InlineData(Concern.Watch, -1, "on")]
    [InlineData(Concern.Watch, null, "on")]
    public void SettingAside_Always_EndsWithinItsDays(Concern severity, int? days, string refused) =>
        Fields(severity, new AlertEntry(AlertAnswer.SetAside, null, days is { } count ? _todayOn.AddDays(count) : null, "family away"))
            .ShouldBe(refused);

    [Theory]
    [InlineData(null)]
    [InlineData(" ")]
    public void SettingAside_WithoutAReason_IsRefused(string? note) =>
        Fields(Concern.Watch, new AlertEntry(AlertAnswer.SetAside, null, _todayOn.AddDays(3), note)).ShouldBe("note");

    [Fact]
    public void Answer_WithSeveralFaults_NamesThemAll() =>
        Fields(Concern.Watch, new AlertEntry(AlertAnswer.SetAside, null, null, null)).ShouldBe("on note");

    private static string Fields(Concern severity, AlertEntry entry) =>
        string.Join(
            ' ',
            AlertLife
                .Answer(new AnsweredAlert(AlertState.Open, severity, _raisedOn), entry, _todayOn)
                .Refusals.Select(refusal => refusal.Field)
        );

    private static DateOnly? At(string? on) => on is null ? null : Day.Of(on);
}
