using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Wording;

/// <summary>What the trade commonly does first about a state.</summary>
/// <param name="TellWhom">Who is told.</param>
/// <param name="HowSoon">How quickly.</param>
/// <param name="Next">When it is looked at again.</param>
public sealed record FirstResponse(string TellWhom, string HowSoon, string Next);

/// <summary>First responses by state and by alert. Common practice, no source; local protocol goes first, and nothing here is a diagnosis.</summary>
public static class FirstResponses
{
    /// <summary>The caution to show wherever a first response is shown.</summary>
    public const string Caution =
        "Common practice, no source: follow your local protocol. These are observations that support a clinical opinion, not a diagnosis.";

    /// <summary>The usual first response, or null when the state asks for none.</summary>
    public static FirstResponse? For(ItemState state, int step, bool isConfirmed) =>
        (state, step, isConfirmed) switch
        {
            (ItemState.Returned, _, _) => new("The urgent medical route", "The same day", "No recheck first: act"),
            (ItemState.Obligatory, _, _) => new(
                "The team, and the child's physician",
                "The team the same day, the physician within 1 to 2 working days",
                "With the medical plan"
            ),
            (ItemState.OneSided, _, _) => new(
                "The child's physician",
                "The same day in a newborn or when new, otherwise within 7 days",
                "In 1 to 2 weeks"
            ),
            (ItemState.AbsentWhenExpected, _, true) => new(
                "The child's physician",
                "Within 7 days; a newborn the same day",
                "In 1 to 2 weeks"
            ),
            (ItemState.AbsentWhenExpected, _, false) => new(
                "The lead clinician",
                "With the visit note",
                "In 1 to 2 weeks, in the best state"
            ),
            (ItemState.Persisting or ItemState.Late, 2, _) => new(
                "The child's physician, and the family at the same visit",
                "Within 7 days",
                "In 2 to 4 weeks; referral does not wait for it"
            ),
            (ItemState.Persisting or ItemState.Late, _, _) => new(
                "The therapy team; mention it at the next medical visit",
                "Routine",
                "In 2 to 4 weeks"
            ),
            (ItemState.AwaitingConfirmation, _, _) => new("Nobody yet", "-", "A second look at least a week later"),
            (ItemState.DeadlinePassedUnchecked, _, _) => new("Nobody yet", "-", "Check at the next visit"),
            _ => null,
        };

    /// <summary>The usual first response to an alert.</summary>
    /// <param name="kind">What it says.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="severity">How much attention it asks for; a confirmed absence asks for more than one that waits for its second look.</param>
    /// <param name="sign">The sign of an alert of the urgent list; null for every other.</param>
    public static FirstResponse For(AlertKind kind, int step, Concern severity, UrgentSign? sign) =>
        kind switch
        {
            AlertKind.Persisting => For(ItemState.Persisting, step, false)!,
            AlertKind.DeadlinePassed => For(ItemState.DeadlinePassedUnchecked, step, false)!,
            AlertKind.AbsentWhenExpected => For(ItemState.AbsentWhenExpected, step, severity >= Concern.Act)!,
            AlertKind.OneSided => For(ItemState.OneSided, step, false)!,
            AlertKind.Obligatory => For(ItemState.Obligatory, step, false)!,
            AlertKind.Returned => For(ItemState.Returned, step, false)!,
            AlertKind.Late => For(ItemState.Late, step, false)!,
            AlertKind.ConfirmOverdue => new("Nobody yet", "-", "A second look at the next visit, in the best state"),
            AlertKind.UrgentSign => For(sign ?? throw new ArgumentNullException(nameof(sign))),
            AlertKind.NotVisited => new(
                "The family; the team lead if they cannot be reached",
                "Within the week",
                "At a visit as soon as one can be arranged"
            ),
            AlertKind.Unassigned => new("The team lead", "Within 1 to 2 working days", "Once the child has a clinician"),
            _ => throw new ArgumentOutOfRangeException(nameof(kind)),
        };

    /// <summary>The usual first response to a sign of the urgent list.</summary>
    public static FirstResponse For(UrgentSign sign) =>
        sign switch
        {
            UrgentSign.UnexplainedInjury => new("The safeguarding route", "Immediately", "No recheck first: act"),
            UrgentSign.LossOfSkill
            or UrgentSign.NewSeizure
            or UrgentSign.Lethargy
            or UrgentSign.BulgingFontanelle
            or UrgentSign.FeedingCollapse
            or UrgentSign.Apnoea => new("The urgent medical route", "The same day", "No recheck first: act"),
            _ => throw new ArgumentOutOfRangeException(nameof(sign)),
        };
}
