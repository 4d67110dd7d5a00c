using Caseload.Domain.Reference;

namespace Caseload.Data.Programmes;

/// <summary>A reference set as published in a programme. Never changes: past decisions keep the version they were made with.</summary>
public sealed class ReferenceSetVersion : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>Name and version, for example <c>published@1</c>.</summary>
    public required string Key { get; init; }

    /// <summary>The set's name.</summary>
    public required string Name { get; init; }

    /// <summary>The version within the name.</summary>
    public required string Version { get; init; }

    /// <summary>The day of publication.</summary>
    public required DateOnly PublishedOn { get; init; }

    /// <summary>The key it was copied from; null for a set of its own.</summary>
    public string? BasedOn { get; init; }

    /// <summary>Why it differs from that.</summary>
    public string? ChangeReason { get; init; }

    /// <summary>The whole set as <see cref="ReferenceSets.Write"/> gives it, to the letter; hence text and not jsonb.</summary>
    public required string Content { get; init; }

    /// <summary>Who published it, as the activity list shows it.</summary>
    public required string PublishedBy { get; init; }

    /// <summary>A row for a set.</summary>
    public static ReferenceSetVersion From(Guid programmeId, ReferenceSet set, string publishedBy) =>
        new()
        {
            ProgrammeId = programmeId,
            Key = set.Key,
            Name = set.Name,
            Version = set.Version,
            PublishedOn = set.PublishedOn,
            BasedOn = set.BasedOn,
            ChangeReason = set.ChangeReason,
            Content = ReferenceSets.Write(set),
            PublishedBy = publishedBy,
        };
}
