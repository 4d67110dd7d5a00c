using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Wording;

/// <summary>What alerts say and what their terms are called, on screen, in the digest and on paper.</summary>
public static class AlertText
{
    /// <summary>What an alert says, in plain words.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="itemName">The item's name; for an urgent sign its <see cref="Of(UrgentSign)"/>; not read for the other kinds about the whole child.</param>
    public static string Title(AlertKind kind, int step, string itemName) =>
        (kind, step) switch
        {
            (AlertKind.Persisting, 2) => $"{itemName}: still there past the latest published limit",
            (AlertKind.Persisting, _) => $"{itemName}: still there past the usual age",
            (AlertKind.DeadlinePassed, _) => $"{itemName}: the usual deadline passed without a check",
            (AlertKind.AbsentWhenExpected, _) => $"{itemName}: absent at an age at which it is expected",
            (AlertKind.OneSided, _) => $"{itemName}: left and right differ",
            (AlertKind.Obligatory, _) => $"{itemName}: the infant cannot break the response",
            (AlertKind.Returned, _) => $"{itemName}: back after it had gone",
            (AlertKind.Late, 2) => $"{itemName}: not there past the latest age for it",
            (AlertKind.Late, _) => $"{itemName}: not there past the usual age",
            (AlertKind.ConfirmOverdue, _) => $"{itemName}: the second look at its absence is overdue",
            (AlertKind.UrgentSign, _) => $"Urgent sign: {Lowered(itemName)}",
            (AlertKind.NotVisited, _) => "No visit for longer than the programme allows",
            (AlertKind.Unassigned, _) => "No clinician is responsible for this child",
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        };

    /// <summary>A kind of alert.</summary>
    public static string Of(AlertKind kind) =>
        kind switch
        {
            AlertKind.Persisting => "Persisting",
            AlertKind.DeadlinePassed => "Deadline passed without a check",
            AlertKind.AbsentWhenExpected => "Absent when expected",
            AlertKind.OneSided => "One-sided",
            AlertKind.Obligatory => "Obligatory",
            AlertKind.Returned => "Returned",
            AlertKind.Late => "Emerging item late",
            AlertKind.ConfirmOverdue => "Second look overdue",
            AlertKind.UrgentSign => "Urgent sign",
            AlertKind.NotVisited => "Not visited",
            AlertKind.Unassigned => "No clinician",
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        };

    /// <summary>How much attention an alert asks for, in a word or two. <see cref="Concern.None"/> raises none and has no label.</summary>
    public static string Severity(Concern severity) =>
        severity switch
        {
            Concern.SameDay => "Same day",
            Concern.Act => "Act",
            Concern.Advisory => "Advisory",
            Concern.Watch => "Watch",
            _ => throw new ArgumentOutOfRangeException(nameof(severity)),
        };

    /// <summary>Where an alert is in its life.</summary>
    public static string Of(AlertState state) =>
        state switch
        {
            AlertState.Open => "Open",
            AlertState.Acknowledged => "Acknowledged",
            AlertState.ActedOn => "Acted on",
            AlertState.SetAside => "Set aside",
            AlertState.Closed => "Closed",
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };

    /// <summary>What was done about an alert.</summary>
    public static string Of(AlertAction action) =>
        action switch
        {
            AlertAction.Rechecked => "Rechecked",
            AlertAction.ToldFamily => "Told the family",
            AlertAction.ToldPhysician => "Told the physician",
            AlertAction.Referred => "Referred",
            AlertAction.Other => "Something else",
            _ => throw new ArgumentOutOfRangeException(nameof(action)),
        };

    /// <summary>A sign of the urgent list.</summary>
    public static string Of(UrgentSign sign) =>
        sign switch
        {
            UrgentSign.LossOfSkill => "A skill the child had is lost",
            UrgentSign.NewSeizure => "A first seizure, or movements that may be one",
            UrgentSign.Lethargy => "Unusually sleepy, hard to rouse",
            UrgentSign.BulgingFontanelle => "Bulging or tense fontanelle",
            UrgentSign.FeedingCollapse => "Feeding has broken down",
            UrgentSign.Apnoea => "Pauses in breathing",
            UrgentSign.UnexplainedInjury => "An injury nobody can explain",
            _ => throw new ArgumentOutOfRangeException(nameof(sign)),
        };

    /// <summary>Who inside the team is told of an alert, and how.</summary>
    public static string WhoIsTold(Concern severity) =>
        severity == Concern.SameDay
            ? "At once: the responsible clinician, whoever covers, and every team lead. If nobody answers in time, the team leads again."
            : "In the weekly digest: the responsible clinician and whoever covers. If nobody answers in time, the team leads.";

    private static string Lowered(string text) => text.Length == 0 ? text : char.ToLowerInvariant(text[0]) + text[1..];
}
