using Caseload.Data.Children;

namespace Caseload.Data.Statuses;

/// <summary>Where a child stands as a whole: a projection of its visits, right until the next change. Written with the item rows.</summary>
public sealed class ChildStatus : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The day of the last finished visit; null before the first.</summary>
    public required DateOnly? LastVisitOn { get; set; }

    /// <summary>First later day on which an alert about the whole child, or what keeps items from being tested, changes by itself.</summary>
    public required DateOnly? NextChangeOn { get; set; }

    /// <summary>The day the row was computed for.</summary>
    public required DateOnly ComputedForOn { get; set; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}
