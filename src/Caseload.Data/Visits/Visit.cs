using Caseload.Data.Children;
using Caseload.Data.Programmes;

namespace Caseload.Data.Visits;

/// <summary>A visit to a child. Open (a draft) until it is finished; its findings are saved when it is.</summary>
public sealed class Visit : IProgrammeOwned
{
    /// <summary>The unique index that keeps a child from having two open visits.</summary>
    public const string OneOpenIndex = "ux_visits_open";

    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by the page.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The clinician who visits.</summary>
    public Guid? ClinicianId { get; set; }

    /// <summary>The day of the visit.</summary>
    public required DateOnly VisitedOn { get; set; }

    /// <summary>When the visit was opened in the program.</summary>
    public required DateTimeOffset StartedAt { get; init; }

    /// <summary>When it was finished; null while it is a draft.</summary>
    public DateTimeOffset? FinishedAt { get; set; }

    /// <summary>Where it took place.</summary>
    public string? Place { get; set; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; set; }

    /// <summary>Changes with every save.</summary>
    public uint RowVersion { get; init; }

    /// <summary>The child, when loaded.</summary>
    public Child? Child { get; init; }

    /// <summary>The clinician, when loaded.</summary>
    public Clinician? Clinician { get; init; }

    /// <summary>The unsent form, when loaded and the visit is open.</summary>
    public VisitDraft? Draft { get; init; }

    /// <summary>The findings, when loaded.</summary>
    public ICollection<RecordedFinding> Findings { get; } = [];
}
