namespace Caseload.Data.Visits;

/// <summary>What was typed into an open visit and not yet finished; deleted in the transaction that finishes the visit.</summary>
public sealed class VisitDraft : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The visit.</summary>
    public required Guid VisitId { get; init; }

    /// <summary>The form, as JSON of the page's own making.</summary>
    public required string Form { get; set; }

    /// <summary>When it was last saved.</summary>
    public required DateTimeOffset UpdatedAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
