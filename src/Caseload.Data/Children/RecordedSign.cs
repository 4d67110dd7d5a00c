using Caseload.Domain.Alerts;

namespace Caseload.Data.Children;

/// <summary>A sign of the urgent list that was seen in a child.</summary>
public sealed class RecordedSign : IProgrammeOwned
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by the page.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The sign.</summary>
    public required UrgentSign Sign { get; init; }

    /// <summary>The day on which it was seen.</summary>
    public required DateOnly SeenOn { get; init; }

    /// <summary>The day on which it was settled; null while it stands.</summary>
    public DateOnly? SettledOn { get; set; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }
}
