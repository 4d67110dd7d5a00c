using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>Takes a visit out of the plan.</summary>
/// <param name="Id">The visit.</param>
public sealed record RemovePlannedVisit(Guid Id);

/// <summary>Takes visits out of the plan.</summary>
public sealed class RemovePlannedVisitHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Takes it out; false when it was out already.</summary>
    public async Task<bool> HandleAsync(Actor actor, RemovePlannedVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        if (await context.PlannedVisits.SingleOrDefaultAsync(row => row.Id == request.Id, ct) is not { } visit)
        {
            return false;
        }
        context.DemandWriting(visit.ChildId);
        context.Remove(visit);
        context.Record("visit-unplanned", visit.ChildId, time.GetUtcNow(), new AccessDetail().With("on", visit.PlannedOn));
        await context.SaveChangesAsync(ct);
        return true;
    }
}
