namespace Caseload.Data.Children;

/// <summary>A functional concern recorded for a child; it raises the checks that may be related.</summary>
public sealed class RecordedConcern : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The concern's id in the reference set, for example <c>head-control</c>.</summary>
    public required string Concern { get; init; }

    /// <summary>The day it was recorded.</summary>
    public required DateOnly RecordedOn { get; init; }

    /// <summary>The day it was resolved; null while it stands.</summary>
    public DateOnly? ResolvedOn { get; set; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
