using Caseload.Domain.Findings;

namespace Caseload.Data.Visits;

/// <summary>A finding as it was recorded. Append-only: a correction is a new row that points to the old one.</summary>
public sealed class RecordedFinding : IProgrammeOwned, IAppendOnly
{
    /// <inheritdoc />
    public required Guid ProgrammeId { get; init; }

    /// <summary>The id, made by the page.</summary>
    public required Guid Id { get; init; }

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The visit of that child.</summary>
    public required Guid VisitId { get; init; }

    /// <summary>The item's id in the reference set.</summary>
    public required string Item { get; init; }

    /// <summary>The day of the look.</summary>
    public required DateOnly ObservedOn { get; init; }

    /// <summary>Where.</summary>
    public required Side Side { get; init; }

    /// <summary>What was seen; null when it could not be tested.</summary>
    public Response? Response { get; init; }

    /// <summary>The behavioural state; null when not recorded.</summary>
    public BehaviouralState? State { get; init; }

    /// <summary>The scale of the state, because other scales number the same states differently.</summary>
    public string StateScale { get; init; } = BehaviouralStates.ScaleName;

    /// <summary>Why it could not be tested.</summary>
    public NotTestedReason? NotTested { get; init; }

    /// <summary>The technique variant; null for the usual one.</summary>
    public string? Variant { get; init; }

    /// <summary>A note for colleagues.</summary>
    public string? Note { get; init; }

    /// <summary>The finding of the same child that this one replaces; a finding is replaced at most once.</summary>
    public Guid? CorrectsId { get; init; }

    /// <summary>Why it was corrected.</summary>
    public string? CorrectionReason { get; init; }

    /// <summary>Whether it only takes the old finding back.</summary>
    public bool IsWithdrawal { get; init; }

    /// <summary>When it was recorded.</summary>
    public required DateTimeOffset RecordedAt { get; init; }

    /// <summary>The clinician who recorded it.</summary>
    public Guid? RecordedById { get; init; }

    /// <summary>The key of the reference set it was recorded with.</summary>
    public required string SetKey { get; init; }

    /// <summary>A row for a finding that passed <see cref="Finding.Check"/>.</summary>
    public static RecordedFinding From(Finding finding, Visit visit, DateTimeOffset recordedAt, Guid? recordedById, string setKey) =>
        new()
        {
            ProgrammeId = visit.ProgrammeId,
            Id = finding.Id,
            ChildId = visit.ChildId,
            VisitId = visit.Id,
            Item = finding.Item,
            ObservedOn = finding.ObservedOn,
            Side = finding.Side,
            Response = finding.Response,
            State = finding.State,
            NotTested = finding.NotTested,
            Variant = finding.Variant,
            Note = finding.Note,
            CorrectsId = finding.Corrects,
            CorrectionReason = finding.CorrectionReason,
            IsWithdrawal = finding.IsWithdrawal,
            RecordedAt = recordedAt,
            RecordedById = recordedById,
            SetKey = setKey,
        };

    /// <summary>The finding as the rules know it.</summary>
    public Finding ToFinding() =>
        new(Id, Item, ObservedOn, Side, Response, State, NotTested)
        {
            Variant = Variant,
            Note = Note,
            Corrects = CorrectsId,
            CorrectionReason = CorrectionReason,
            IsWithdrawal = IsWithdrawal,
        };
}
