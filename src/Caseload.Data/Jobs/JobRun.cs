namespace Caseload.Data.Jobs;

/// <summary>What became of a run.</summary>
public enum JobOutcome
{
    /// <summary>It did what it was to do.</summary>
    Done,

    /// <summary>It failed; it is tried again.</summary>
    Failed,
}

/// <summary>A run of a job for one programme and one period. The key decides that a period runs once, whatever triggers it.</summary>
public sealed class JobRun : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The job, for example <c>sweep</c>.</summary>
    public required string Job { get; init; }

    /// <summary>The period, for example a day or an ISO week.</summary>
    public required string Period { get; init; }

    /// <summary>Which process runs it.</summary>
    public required string Node { get; set; }

    /// <summary>When the last attempt began.</summary>
    public required DateTimeOffset StartedAt { get; set; }

    /// <summary>Until when the process holds it; afterwards another may take it over.</summary>
    public required DateTimeOffset LeaseUntil { get; set; }

    /// <summary>How often it was begun.</summary>
    public required int AttemptCount { get; set; }

    /// <summary>How much is done.</summary>
    public int DoneCount { get; set; }

    /// <summary>Of how much; null while it is not known.</summary>
    public int? TotalCount { get; set; }

    /// <summary>When it ended; null while it runs.</summary>
    public DateTimeOffset? FinishedAt { get; set; }

    /// <summary>What became of it; null while it runs.</summary>
    public JobOutcome? Outcome { get; set; }

    /// <summary>What came of it, in words without names.</summary>
    public string? Result { get; set; }
}
