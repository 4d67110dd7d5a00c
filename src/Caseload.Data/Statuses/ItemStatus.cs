using Caseload.Data.Children;
using Caseload.Domain.Interpretation;

namespace Caseload.Data.Statuses;

/// <summary>Where a child stands with one item: a projection of the findings, right from its as-of day until the next change.</summary>
/// <remarks>Written by <see cref="StatusProjection"/> only. Reasons are not kept; the interpreter gives them again from the findings.</remarks>
public sealed class ItemStatus : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The item's id in the reference set.</summary>
    public required string Item { get; init; }

    /// <summary>The state.</summary>
    public required ItemState State { get; init; }

    /// <summary>For persisting and late: 1 past the usual deadline, 2 past the latest published limit; otherwise 0.</summary>
    public required short Step { get; init; }

    /// <summary>For absent when expected: whether a second day confirmed it.</summary>
    public required bool IsConfirmed { get; init; }

    /// <summary>The day from which the state holds; null when it holds from birth.</summary>
    public required DateOnly? SinceOn { get; init; }

    /// <summary>How much attention it asks for; stored as a number so that the database can tell the worst.</summary>
    public required Concern Concern { get; init; }

    /// <summary>First day on which the item is expected.</summary>
    public required DateOnly ExpectedFromOn { get; init; }

    /// <summary>First day of the usual window.</summary>
    public required DateOnly? UsualFromOn { get; init; }

    /// <summary>The usual deadline.</summary>
    public required DateOnly? UsualThroughOn { get; init; }

    /// <summary>The latest published limit.</summary>
    public required DateOnly? LatestThroughOn { get; init; }

    /// <summary>First day of the next check; null when none is planned.</summary>
    public required DateOnly? CheckFromOn { get; init; }

    /// <summary>Last day of the next check; null when none is planned.</summary>
    public required DateOnly? CheckThroughOn { get; init; }

    /// <summary>What the next check is for.</summary>
    public required CheckPurpose CheckPurpose { get; init; }

    /// <summary>First later day on which the row would differ without a new finding; null when it would not.</summary>
    public required DateOnly? NextChangeOn { get; init; }

    /// <summary>The day the row was computed for.</summary>
    public required DateOnly ComputedForOn { get; init; }

    /// <summary>The key of the reference set it was computed with.</summary>
    public required string SetKey { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}
