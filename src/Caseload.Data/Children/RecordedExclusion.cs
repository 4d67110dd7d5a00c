using Caseload.Domain.Reference;
using Caseload.Domain.Visits;

namespace Caseload.Data.Children;

/// <summary>A condition of a child that keeps items from being tested, for a time or for good.</summary>
public sealed class RecordedExclusion : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The condition.</summary>
    public required Exclusion Exclusion { get; init; }

    /// <summary>The first day on which it holds.</summary>
    public required DateOnly FromOn { get; set; }

    /// <summary>The last day on which it holds; null while no end is known.</summary>
    public DateOnly? ThroughOn { get; set; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The exclusion as the visit planner knows it.</summary>
    public ChildExclusion ToExclusion() => new(Exclusion, FromOn, ThroughOn);
}
