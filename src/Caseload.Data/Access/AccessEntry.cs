namespace Caseload.Data.Access;

/// <summary>
/// Who looked at what or did what, when, why and from where; written in the same save as what was done. Holds no names, notes or birth
/// dates of children.
/// </summary>
/// <remarks>
/// When the transaction commits, the database numbers the entry within its programme and seals it with a hash over its content and over the
/// hash of the entry before; see <see cref="AccessChain"/>.
/// </remarks>
public sealed class AccessEntry : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child concerned; null when none is. Not a foreign key: the entry outlives a child whose record was destroyed.</summary>
    public Guid? ChildId { get; init; }

    /// <summary>When.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary>The person's or the job's name.</summary>
    public required string Who { get; init; }

    /// <summary>The person; null for a job. Not a foreign key, like everything here that points elsewhere.</summary>
    public Guid? PersonId { get; init; }

    /// <summary>The sign-in the person acted under.</summary>
    public Guid? SignInId { get; init; }

    /// <summary>What was done, as a word: <c>visit-finished</c>.</summary>
    public required string What { get; init; }

    /// <summary>
    /// Why the person may: <c>own-caseload</c>, <c>cover</c>, <c>reach-by-reason</c>, <c>supervision</c>, <c>administration</c>,
    /// <c>account</c> or <c>job</c>. Found by the database when null.
    /// </summary>
    public string? Why { get; init; }

    /// <summary>The network address the sign-in came from.</summary>
    public string? Address { get; init; }

    /// <summary>Identifiers, dates, counts and words, as a JSON object; see <see cref="AccessDetail"/>.</summary>
    public required string Detail { get; init; }

    /// <summary>The attempt that a command carries; unique, so that a second tap finds the first one done.</summary>
    public Guid? AttemptId { get; init; }

    /// <summary>The place in the programme's record, from 1 without gaps; given by the database at commit.</summary>
    public long? Number { get; init; }

    /// <summary>The hash of the entry before; empty for the first.</summary>
    public byte[]? PreviousHash { get; init; }

    /// <summary>SHA-256 over the entry's text; see <see cref="AccessChain.TextOf"/>.</summary>
    public byte[]? Hash { get; init; }
}

/// <summary>Where a programme's access record stands: kept by the database alone.</summary>
public sealed class AccessChainHead : IProgrammeOwned, IKeptByDatabase
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The number of the oldest entry kept; entries before it were removed when their time to be kept was over.</summary>
    public required long FirstNumber { get; init; }

    /// <summary>The hash of the entry before the oldest one kept; empty when none was removed.</summary>
    public required byte[] FirstPreviousHash { get; init; }

    /// <summary>The number of the newest entry; 0 when there is none.</summary>
    public required long LastNumber { get; init; }

    /// <summary>The hash of the newest entry; empty when there is none.</summary>
    public required byte[] LastHash { get; init; }
}
