using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Wording;

/// <summary>What the trade commonly does first about a state.</summary>
/// <param name="TellWhom">Who is told.</param>
/// <param name="HowSoon">How quickly.</param>
/// <param name="Next">When it is looked at again.</param>
public sealed record FirstResponse(string TellWhom, string HowSoon, string Next);

/// <summary>First responses by state. Common practice, no source; local protocol goes first, and nothing here is a diagnosis.</summary>
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
            (ItemState.Obligatory, _, _) => new("The child's physician", "Within 1 to 2 working days", "With the medical plan"),
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
}
