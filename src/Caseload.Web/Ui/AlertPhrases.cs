using Caseload.Data.Alerts;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Web.Ui;

/// <summary>What stored alerts, their steps and their ends are called, wherever they are shown.</summary>
public static class AlertPhrases
{
    /// <summary>What a stored alert says.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="item">The item's id, or the word of a sign.</param>
    /// <param name="set">The reference set in use.</param>
    public static string Title(AlertKind kind, int step, string item, ReferenceSet set) =>
        AlertText.Title(kind, step, SignOf(kind, item) is { } sign ? AlertText.Of(sign) : set.Find(item)?.Name ?? item);

    /// <summary>The sign that an alert of the urgent list is about.</summary>
    public static UrgentSign? SignOf(AlertKind kind, string item) =>
        kind == AlertKind.UrgentSign ? EnumWords.FromWord<UrgentSign>(item) : null;

    /// <summary>Why an alert closed.</summary>
    public static string Of(AlertEnd end) =>
        end switch
        {
            AlertEnd.NewFinding => "A finding says otherwise",
            AlertEnd.BecameAnother => "It became an alert of another kind",
            AlertEnd.NoLongerFound => "The rules no longer find it",
            AlertEnd.Visited => "The child was visited",
            AlertEnd.Assigned => "The child has a clinician",
            AlertEnd.SignSettled => "The sign was settled",
            AlertEnd.CaseClosed => "The case was closed",
            _ => throw new ArgumentOutOfRangeException(nameof(end)),
        };

    /// <summary>What happened to an alert.</summary>
    public static string Of(AlertStepKind what) =>
        what switch
        {
            AlertStepKind.Worsened => "Became more severe, open again",
            AlertStepKind.Eased => "Became less severe",
            AlertStepKind.Acknowledged => "Acknowledged",
            AlertStepKind.Rechecked => AlertText.Of(AlertAction.Rechecked),
            AlertStepKind.ToldFamily => AlertText.Of(AlertAction.ToldFamily),
            AlertStepKind.ToldPhysician => AlertText.Of(AlertAction.ToldPhysician),
            AlertStepKind.Referred => AlertText.Of(AlertAction.Referred),
            AlertStepKind.Other => "Something else was done",
            AlertStepKind.SetAside => "Set aside",
            AlertStepKind.CameBack => "Came back, open again",
            AlertStepKind.Escalated => "Nobody had answered: the team lead was told",
            AlertStepKind.Closed => "Closed",
            _ => throw new ArgumentOutOfRangeException(nameof(what)),
        };
}
