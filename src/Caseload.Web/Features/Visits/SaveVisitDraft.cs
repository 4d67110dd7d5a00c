using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Visits;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Visits;

/// <summary>Keeps what has been entered into an open visit.</summary>
/// <param name="VisitId">The visit.</param>
/// <param name="Form">Everything entered so far.</param>
/// <param name="KnownVersion">The draft's version the page last saw; null when it saw none.</param>
public sealed record SaveVisitDraft(Guid VisitId, VisitForm Form, uint? KnownVersion);

/// <summary>What became of a draft.</summary>
public abstract record SaveVisitDraftOutcome
{
    private SaveVisitDraftOutcome() { }

    /// <summary>Kept. When somebody else had saved in between, theirs is replaced and the person is told.</summary>
    public sealed record Saved(uint Version, DateTimeOffset At, bool ReplacedAnother) : SaveVisitDraftOutcome;

    /// <summary>Somebody else saved at the same moment; nothing was written, and the next attempt will be told the version.</summary>
    public sealed record SavedElsewhere : SaveVisitDraftOutcome;

    /// <summary>The visit is finished or gone; there is no draft to keep.</summary>
    public sealed record NotOpen : SaveVisitDraftOutcome;
}

/// <summary>Keeps drafts.</summary>
public sealed class SaveVisitDraftHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Keeps the draft; the last write stands.</summary>
    public async Task<SaveVisitDraftOutcome> HandleAsync(Actor actor, SaveVisitDraft request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var childId = await context
            .Visits.Where(visit => visit.Id == request.VisitId && visit.FinishedAt == null)
            .Select(visit => (Guid?)visit.ChildId)
            .SingleOrDefaultAsync(ct);
        if (childId is null)
        {
            return new SaveVisitDraftOutcome.NotOpen();
        }
        context.DemandWriting(childId.Value);
        var draft = await context.VisitDrafts.SingleOrDefaultAsync(row => row.VisitId == request.VisitId, ct);

        var replacesAnother = draft is not null && draft.RowVersion != request.KnownVersion;
        var at = time.GetUtcNow();
        if (draft is null)
        {
            draft = new VisitDraft
            {
                ProgrammeId = actor.ProgrammeId,
                VisitId = request.VisitId,
                Form = request.Form.Write(),
                UpdatedAt = at,
            };
            context.VisitDrafts.Add(draft);
        }
        else
        {
            draft.Form = request.Form.Write();
            draft.UpdatedAt = at;
        }

        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException failure)
            when (failure is DbUpdateConcurrencyException
                || failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation }
            )
        {
            return new SaveVisitDraftOutcome.SavedElsewhere();
        }
        return new SaveVisitDraftOutcome.Saved(draft.RowVersion, at, replacesAnother);
    }
}
