using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Alerts;

/// <summary>An alert that the facts ask for.</summary>
/// <param name="Kind">What it says.</param>
/// <param name="Step">1 or 2 for persisting and late, otherwise 0.</param>
/// <param name="Severity">How much attention it asks for; never <see cref="Concern.None"/>.</param>
/// <param name="Since">Day number from which what it says holds; 0 when it holds from birth.</param>
public readonly record struct AlertCall(AlertKind Kind, byte Step, Concern Severity, int Since);

/// <summary>Decides which alerts a child's standing asks for. Pure: the same facts and day give the same answer.</summary>
/// <remarks>
/// Which states raise an alert follows the states' own concern (see <see cref="Interpretation.Concern"/>). That an obligatory or a returned
/// response is told the same day is common practice, no source; local protocol goes first.
/// </remarks>
public static class AlertRule
{
    /// <summary>The alert that an item asks for, or null.</summary>
    /// <param name="verdict">Where the child stands with the item.</param>
    /// <param name="isExcluded">
    /// Whether a condition of the child keeps the item from being tested today: then nobody is asked for a check that must not be made, and what
    /// was found before still counts.
    /// </param>
    /// <param name="asOf">Day number of the question.</param>
    public static AlertCall? ForItem(in ItemVerdict verdict, bool isExcluded, int asOf)
    {
        AlertKind? kind = verdict.State switch
        {
            ItemState.Persisting => AlertKind.Persisting,
            ItemState.DeadlinePassedUnchecked when !isExcluded => AlertKind.DeadlinePassed,
            ItemState.AbsentWhenExpected => AlertKind.AbsentWhenExpected,
            ItemState.OneSided => AlertKind.OneSided,
            ItemState.Obligatory => AlertKind.Obligatory,
            ItemState.Returned => AlertKind.Returned,
            ItemState.Late => AlertKind.Late,
            ItemState.AwaitingConfirmation when !isExcluded && IsConfirmOverdue(verdict, asOf) => AlertKind.ConfirmOverdue,
            _ => null,
        };
        return kind is { } found && verdict.Concern != Concern.None
            ? new AlertCall(
                found,
                verdict.Step,
                found == AlertKind.Obligatory ? Concern.SameDay : verdict.Concern,
                found == AlertKind.ConfirmOverdue ? verdict.CheckThrough + 1 : verdict.Since
            )
            : null;
    }

    /// <summary>First later day on which an item's state or its alert would differ without a new finding; 0 when neither would.</summary>
    /// <param name="verdict">Where the child stands with the item.</param>
    /// <param name="asOf">Day number of the question.</param>
    public static int NextChangeOn(in ItemVerdict verdict, int asOf)
    {
        if (verdict.State != ItemState.AwaitingConfirmation || verdict.Purpose == CheckPurpose.None || IsConfirmOverdue(verdict, asOf))
        {
            return verdict.NextChangeOn;
        }
        var overdueOn = verdict.CheckThrough + 1;
        return verdict.NextChangeOn == 0 || overdueOn < verdict.NextChangeOn ? overdueOn : verdict.NextChangeOn;
    }

    /// <summary>The alert that a missing clinician asks for, or null.</summary>
    /// <param name="hasClinician">Whether a clinician is responsible.</param>
    /// <param name="asOf">Day number of the question.</param>
    public static AlertCall? ForAssignment(bool hasClinician, int asOf) =>
        hasClinician ? null : new AlertCall(AlertKind.Unassigned, 0, Concern.Watch, asOf);

    /// <summary>The alert that a long time without a visit asks for, or null.</summary>
    /// <param name="notVisitedOn">Day number from which the child counts as not visited; see <see cref="NotVisitedOn"/>.</param>
    /// <param name="asOf">Day number of the question.</param>
    public static AlertCall? ForContact(int notVisitedOn, int asOf) =>
        asOf < notVisitedOn ? null : new AlertCall(AlertKind.NotVisited, 0, Concern.Watch, notVisitedOn);

    /// <summary>Day number from which a child counts as not visited.</summary>
    /// <param name="lastContact">Day number of the last visit, or of enrolment before the first.</param>
    /// <param name="weeks">The policy's weeks.</param>
    public static int NotVisitedOn(int lastContact, int weeks) => lastContact + (7 * weeks) + 1;

    /// <summary>The alert of a sign of the urgent list.</summary>
    /// <param name="seen">Day number on which it was seen.</param>
    public static AlertCall ForSign(int seen) => new(AlertKind.UrgentSign, 0, Concern.SameDay, seen);

    private static bool IsConfirmOverdue(in ItemVerdict verdict, int asOf) =>
        verdict.Purpose != CheckPurpose.None && verdict.CheckThrough < asOf;
}
