using Caseload.Data.Children;

namespace Caseload.Data.Team;

/// <summary>A span in which a clinician is responsible for a child. The history of a child's clinicians; never deleted while the record stands.</summary>
/// <remarks>
/// Spans of one child do not overlap. The one that holds today is the child's <see cref="Child.ClinicianId"/>; one that begins later takes effect
/// with the sweep of its first day.
/// </remarks>
public sealed class Assignment : IProgrammeOwned
{
    /// <summary>The index that keeps a child from having two spans without an end.</summary>
    public const string OneOpenIndex = "ux_assignments_open";

    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by whoever asks for it.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The clinician.</summary>
    public required Guid ClinicianId { get; init; }

    /// <summary>First day.</summary>
    public required DateOnly FromOn { get; init; }

    /// <summary>Last day; null while no end is known.</summary>
    public DateOnly? ThroughOn { get; set; }

    /// <summary>The day on which its beginning, or its end, is still to become the child's clinician; null when nothing is to come.</summary>
    public DateOnly? EffectOn { get; set; }

    /// <summary>What the clinician before wants the next one to know, in the words of whoever transferred the child.</summary>
    public string? Handover { get; init; }

    /// <summary>When it was recorded.</summary>
    public required DateTimeOffset RecordedAt { get; init; }

    /// <summary>Who recorded it: a person's name.</summary>
    public required string Who { get; init; }

    /// <summary>When its end was recorded; null while it has none.</summary>
    public DateTimeOffset? EndRecordedAt { get; set; }

    /// <summary>When the clinician put the handover away as read; null while it waits, or when there was none.</summary>
    public DateTimeOffset? ReadAt { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}

/// <summary>A clinician and a child who are not to be brought together, whatever the loads.</summary>
public sealed class NeverPair : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The clinician.</summary>
    public required Guid ClinicianId { get; init; }

    /// <summary>Why, in the words of whoever said so.</summary>
    public required string Reason { get; init; }

    /// <summary>Who said so: a person's name.</summary>
    public required string Who { get; init; }

    /// <summary>When.</summary>
    public required DateTimeOffset RecordedAt { get; init; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }
}
