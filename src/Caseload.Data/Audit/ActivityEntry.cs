namespace Caseload.Data.Audit;

/// <summary>Who did what and when, written in the same save as what was done. Holds no names, notes or birth dates of children.</summary>
public sealed class ActivityEntry : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child concerned; null when none is. Not a foreign key: the entry outlives a child whose record was erased.</summary>
    public Guid? ChildId { get; init; }

    /// <summary>When.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>The person's or the job's name.</summary>
    public required string Who { get; init; }

    /// <summary>The clinician, when the person is one.</summary>
    public Guid? ClinicianId { get; init; }

    /// <summary>What was done, as a word: <c>visit-finished</c>.</summary>
    public required string What { get; init; }

    /// <summary>Identifiers, dates, counts and words, as a JSON object; see <see cref="ActivityDetail"/>.</summary>
    public required string Detail { get; init; }

    /// <summary>The attempt that a command carries; unique, so that a second tap finds the first one done.</summary>
    public Guid? AttemptId { get; init; }
}
