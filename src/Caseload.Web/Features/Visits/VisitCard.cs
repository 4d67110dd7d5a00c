using Caseload.Domain.Findings;

namespace Caseload.Web.Features.Visits;

/// <summary>What the card of one item shows.</summary>
/// <param name="Number">Its place in the handling order.</param>
/// <param name="Check">The item and why it is due.</param>
/// <param name="Entry">What was entered.</param>
/// <param name="PresentState">The infant's state at the moment.</param>
/// <param name="IsAdded">Whether it was taken in beyond the plan.</param>
/// <param name="Problem">Why the last finish refused it.</param>
public sealed record VisitCard(
    int Number,
    VisitCheckRow Check,
    EntryForm Entry,
    BehaviouralState? PresentState,
    bool IsAdded,
    string? Problem
)
{
    /// <summary>The state an entry is or would be made in.</summary>
    public BehaviouralState? StateOfEntry => Entry.IsEntered ? Entry.State : Entry.State ?? PresentState;

    /// <summary>Whether that state does not suit the item.</summary>
    public bool IsUnsuitable => StateOfEntry is { } state && !Check.Item.Suits(state) && (Entry.IsEntered ? HasResponse : true);

    private bool HasResponse => Entry.Left is not null || Entry.Right is not null;
}
