namespace Caseload.Data.Digests;

/// <summary>Whose children a digest speaks of.</summary>
public enum DigestScope
{
    /// <summary>Those of one clinician, and those the clinician covers.</summary>
    Clinician,

    /// <summary>All of the programme, by clinician.</summary>
    Programme,
}

/// <summary>A weekly digest, exactly as it was made and sent. Written once; one for a person, a scope and a week.</summary>
public sealed class Digest : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id.</summary>
    public required Guid Id { get; init; }

    /// <summary>Whom it was made for.</summary>
    public required Guid PersonId { get; init; }

    /// <summary>Whose children it speaks of.</summary>
    public required DigestScope Scope { get; init; }

    /// <summary>The ISO 8601 week, for example <c>2026-W48</c>.</summary>
    public required string Week { get; init; }

    /// <summary>The day as of which it was made, in the programme's zone.</summary>
    public required DateOnly AsOfOn { get; init; }

    /// <summary>When it was made.</summary>
    public required DateTimeOffset MadeAt { get; init; }

    /// <summary>What it says, as a JSON object; children by id and code.</summary>
    public required string Content { get; init; }

    /// <summary>The subject of the mail.</summary>
    public required string Subject { get; init; }

    /// <summary>The plain text part of the mail.</summary>
    public required string Text { get; init; }

    /// <summary>The HTML part of the mail.</summary>
    public required string Html { get; init; }
}
