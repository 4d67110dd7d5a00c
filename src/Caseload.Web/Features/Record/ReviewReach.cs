using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Record;

/// <summary>Says that somebody looked over a child that was opened by a reason.</summary>
/// <param name="Id">The reach.</param>
public sealed record ReviewReach(Guid Id);

/// <summary>Marks reaches as looked over.</summary>
public sealed class ReviewReachHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Marks it; false when it is the person's own, or somebody looked it over already.</summary>
    public async Task<bool> HandleAsync(Actor actor, ReviewReach request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.SearchAccessRecord, ct);
        var reach = await context.ReasonedReaches.SingleOrDefaultAsync(row => row.Id == request.Id && row.ReviewedAt == null, ct);
        if (reach is null || reach.PersonId == actor.PersonId)
        {
            return false;
        }
        reach.ReviewedAt = at;
        reach.ReviewedById = actor.PersonId;
        context.Record("reach-reviewed", reach.ChildId, at, new AccessDetail().With("reach", reach.Id));
        await context.SaveChangesAsync(ct);
        return true;
    }
}
