using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Records a functional concern of a child, resolves it, or takes the resolution back.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="RowId">The row; made by the page for a new one.</param>
/// <param name="ConcernId">The concern's id in the reference set.</param>
/// <param name="IsResolved">Whether it is resolved.</param>
public sealed record ChangeConcern(Guid ChildId, Guid RowId, string ConcernId, bool IsResolved);

/// <summary>Records and resolves concerns.</summary>
public sealed class ChangeConcernHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves; false when the same concern already stands, or there is no such child.</summary>
    public async Task<bool> HandleAsync(Actor actor, ChangeConcern request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        if (!await context.Children.AnyAsync(row => row.Id == request.ChildId, ct))
        {
            return false;
        }
        context.DemandWriting(request.ChildId);
        var stored = await context.Concerns.SingleOrDefaultAsync(row => row.Id == request.RowId && row.ChildId == request.ChildId, ct);
        if (stored is null)
        {
            if (
                await context.Concerns.AnyAsync(
                    row => row.ChildId == request.ChildId && row.Concern == request.ConcernId && row.ResolvedOn == null,
                    ct
                )
            )
            {
                return false;
            }
            context.Concerns.Add(
                new RecordedConcern
                {
                    ProgrammeId = actor.ProgrammeId,
                    Id = request.RowId,
                    ChildId = request.ChildId,
                    Concern = request.ConcernId,
                    RecordedOn = todayOn,
                }
            );
        }
        else
        {
            stored.ResolvedOn = request.IsResolved ? todayOn : null;
        }

        var what =
            stored is null ? "concern-recorded"
            : request.IsResolved ? "concern-resolved"
            : "concern-reopened";
        context.Record(what, request.ChildId, time.GetUtcNow(), new AccessDetail().WithKey("concern", request.ConcernId));
        await context.SaveChangesAsync(ct);
        return true;
    }
}
