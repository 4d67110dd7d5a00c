namespace Caseload.Data.People;

/// <summary>A span in which a clinician is away, and who sees the children meanwhile: all of them, or one.</summary>
public sealed class Cover : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The clinician who is away.</summary>
    public required Guid AbsentClinicianId { get; init; }

    /// <summary>The clinician who sees the children meanwhile; null while nobody does but those who cover single children.</summary>
    public required Guid? CoveringClinicianId { get; init; }

    /// <summary>The one child that is covered; null for all children of the clinician who is away.</summary>
    public Guid? ChildId { get; init; }

    /// <summary>First day.</summary>
    public required DateOnly FromOn { get; init; }

    /// <summary>Last day.</summary>
    public required DateOnly ThroughOn { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}

/// <summary>A child opened outside the own reach, for a stated reason and a limited time.</summary>
public sealed class ReasonedReach : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by the page.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The person.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>Why, in the person's words.</summary>
    public required string Reason { get; init; }

    /// <summary>From when.</summary>
    public required DateTimeOffset FromAt { get; init; }

    /// <summary>Until when.</summary>
    public required DateTimeOffset UntilAt { get; set; }

    /// <summary>When a team lead looked it over; null while none has.</summary>
    public DateTimeOffset? ReviewedAt { get; set; }

    /// <summary>The team lead who did.</summary>
    public Guid? ReviewedById { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
