namespace Caseload.Data.Children;

/// <summary>What stays of a child whose record was destroyed: that there was one, and nothing that tells who it was.</summary>
public sealed class ChildTombstone : IProgrammeOwned, IKeptByDatabase
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The child's id, which the access record goes on naming.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The child's code; never given again.</summary>
    public required string Code { get; init; }

    /// <summary>The day the case was closed.</summary>
    public required DateOnly ClosedOn { get; init; }

    /// <summary>How many visits the record had.</summary>
    public required int VisitCount { get; init; }

    /// <summary>How many findings the record had.</summary>
    public required int FindingCount { get; init; }

    /// <summary>When it was destroyed.</summary>
    public required DateTimeOffset DestroyedAt { get; init; }

    /// <summary>Who destroyed it.</summary>
    public required Guid DestroyedById { get; init; }

    /// <summary>Why.</summary>
    public required string Reason { get; init; }
}
