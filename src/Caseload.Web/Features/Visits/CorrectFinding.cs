using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Visits;
using Caseload.Domain;
using Caseload.Domain.Findings;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Visits;

/// <summary>Corrects a finding of a finished visit, or takes it back.</summary>
/// <param name="CorrectionId">Made by the page, so that a second tap finds the first one's correction.</param>
/// <param name="FindingId">The finding that was wrong.</param>
/// <param name="Form">What is right, and why it is corrected.</param>
public sealed record CorrectFinding(Guid CorrectionId, Guid FindingId, CorrectionForm Form);

/// <summary>What is right instead.</summary>
public sealed record CorrectionForm
{
    /// <summary>Whether the finding is only taken back.</summary>
    public bool IsWithdrawal { get; init; }

    /// <summary>Where.</summary>
    public Side Side { get; init; }

    /// <summary>What was seen; null when it could not be tested.</summary>
    public Response? Response { get; init; }

    /// <summary>The infant's state.</summary>
    public BehaviouralState? State { get; init; }

    /// <summary>Why it could not be tested.</summary>
    public NotTestedReason? NotTested { get; init; }

    /// <summary>Why it is corrected; required.</summary>
    public string Reason { get; init; } = "";

    /// <summary>A form that says what the finding says.</summary>
    public static CorrectionForm From(Finding finding) =>
        new()
        {
            Side = finding.Side,
            Response = finding.Response,
            State = finding.State,
            NotTested = finding.NotTested,
        };

    /// <summary>The correcting finding.</summary>
    public Finding ToFinding(Guid id, Finding old) =>
        new(id, old.Item, old.ObservedOn, Side, IsWithdrawal ? null : Response, State, IsWithdrawal ? null : NotTested)
        {
            Variant = old.Variant,
            Note = IsWithdrawal ? null : old.Note,
            Corrects = old.Id,
            CorrectionReason = Reason.Trim(),
            IsWithdrawal = IsWithdrawal,
        };
}

/// <summary>What became of a correction.</summary>
public abstract record CorrectFindingOutcome
{
    private CorrectFindingOutcome() { }

    /// <summary>Corrected; the old finding stays and no longer counts.</summary>
    public sealed record Corrected : CorrectFindingOutcome;

    /// <summary>Somebody else has corrected it before; nothing was added.</summary>
    public sealed record AlreadyCorrected : CorrectFindingOutcome;

    /// <summary>Something must be put right first.</summary>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : CorrectFindingOutcome;
}

/// <summary>Corrects findings.</summary>
public sealed class CorrectFindingHandler(CaseloadDb db, ReferenceLibrary library, StatusProjection projection, TimeProvider time)
{
    private const string OneCorrectionKey = "ux_findings_corrects";

    /// <summary>Adds the correction and puts the statuses right.</summary>
    public async Task<CorrectFindingOutcome> HandleAsync(Actor actor, CorrectFinding request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var known = await context
            .Findings.AsNoTracking()
            .Where(row => row.Id == request.FindingId)
            .Select(row => new
            {
                Row = row,
                CorrectedById = context
                    .Findings.Where(other => other.CorrectsId == row.Id)
                    .Select(other => (Guid?)other.Id)
                    .FirstOrDefault(),
                BornOn = context.Children.Where(child => child.Id == row.ChildId).Select(child => child.BornOn).Single(),
            })
            .SingleOrDefaultAsync(ct);
        if (known is null)
        {
            return Refuse("finding", "This finding no longer exists. Open the visit again.");
        }
        context.DemandWriting(known.Row.ChildId);
        if (known.CorrectedById is { } correctedById)
        {
            return correctedById == request.CorrectionId
                ? new CorrectFindingOutcome.Corrected()
                : new CorrectFindingOutcome.AlreadyCorrected();
        }
        var visit = await context.Visits.SingleAsync(row => row.Id == known.Row.VisitId, ct);
        var set = await library.GetSetAsync(context, known.Row.SetKey, ct);

        var todayOn = actor.TodayOn(time);
        var check = Finding.Check(request.Form.ToFinding(request.CorrectionId, known.Row.ToFinding()), set, known.BornOn, todayOn);
        if (!check.IsAccepted)
        {
            return new CorrectFindingOutcome.Refused(check.Refusals);
        }
        if (check.Value.CorrectionReason!.Length > TextLimits.Note)
        {
            return Refuse("correctionReason", $"The reason is longer than {TextLimits.Note} signs. Shorten it.");
        }
        if (!request.Form.IsWithdrawal && request.Form with { Reason = "" } == CorrectionForm.From(known.Row.ToFinding()))
        {
            return Refuse("response", "Nothing differs from the entry so far. Change something, or take the entry back.");
        }

        var at = time.GetUtcNow();
        context.Add(RecordedFinding.From(check.Value, visit, at, actor.ClinicianId, known.Row.SetKey));
        context.Record(
            request.Form.IsWithdrawal ? "finding-withdrawn" : "finding-corrected",
            visit.ChildId,
            at,
            new AccessDetail().With("finding", request.FindingId).With("by", request.CorrectionId).WithKey("item", known.Row.Item)
        );
        await projection.RewriteAsync(context, visit.ChildId, todayOn, ct);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException failure)
            when (failure.InnerException
                    is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation, ConstraintName: OneCorrectionKey }
            )
        {
            return new CorrectFindingOutcome.AlreadyCorrected();
        }
        return new CorrectFindingOutcome.Corrected();
    }

    private static CorrectFindingOutcome.Refused Refuse(string field, string message) => new([new Refusal(field, message)]);
}
