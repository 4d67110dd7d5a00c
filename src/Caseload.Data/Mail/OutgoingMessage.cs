namespace Caseload.Data.Mail;

/// <summary>What a message is about.</summary>
public enum MessageKind
{
    /// <summary>An alert that goes out at once.</summary>
    Alert,

    /// <summary>An alert that nobody answered in time.</summary>
    Escalation,

    /// <summary>A weekly digest.</summary>
    Digest,

    /// <summary>A test of the mail settings.</summary>
    Test,
}

/// <summary>A message to be sent, written in the transaction of what it announces. The dispatcher sends it, at least once.</summary>
public sealed class OutgoingMessage : IProgrammeOwned
{
    /// <summary>Stands in texts where the address of the installation goes; the dispatcher puts it there.</summary>
    public const string SiteMark = "{site}";

    /// <summary>Stands in texts where the address goes by which the person stops optional mail; the dispatcher puts it there.</summary>
    public const string StopMark = "{stop}";

    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id; also the left part of the Message-ID, so that a repeat can be recognised.</summary>
    public required Guid Id { get; init; }

    /// <summary>What it announces, unique in the programme: the same thing is announced to the same person once.</summary>
    public required string Key { get; init; }

    /// <summary>What it is about.</summary>
    public required MessageKind Kind { get; init; }

    /// <summary>Whom it goes to.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>The address at the time of writing.</summary>
    public required string Address { get; init; }

    /// <summary>The subject.</summary>
    public required string Subject { get; init; }

    /// <summary>The plain text part.</summary>
    public required string Text { get; init; }

    /// <summary>The HTML part; null when there is only text.</summary>
    public string? Html { get; init; }

    /// <summary>Whether the person may stop messages of this kind.</summary>
    public required bool IsOptional { get; init; }

    /// <summary>When it was written.</summary>
    public required DateTimeOffset CreatedAt { get; init; }

    /// <summary>When it is tried next; null once it is sent or parked.</summary>
    public required DateTimeOffset? NextTryAt { get; set; }

    /// <summary>How often it was tried.</summary>
    public int AttemptCount { get; set; }

    /// <summary>Who holds it for sending: a node's name.</summary>
    public string? LeasedBy { get; set; }

    /// <summary>When that hold ends by itself.</summary>
    public DateTimeOffset? LeaseUntil { get; set; }

    /// <summary>When it was sent.</summary>
    public DateTimeOffset? SentAt { get; set; }

    /// <summary>When it was parked after too many failures.</summary>
    public DateTimeOffset? ParkedAt { get; set; }

    /// <summary>What the last failure was, in words.</summary>
    public string? LastError { get; set; }
}
