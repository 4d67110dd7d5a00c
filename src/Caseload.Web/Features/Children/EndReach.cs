using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Gives up a child that the person opened by a reason, before its time is over.</summary>
/// <param name="Id">The reach.</param>
public sealed record EndReach(Guid Id);

/// <summary>Ends the person's own reaches.</summary>
public sealed class EndReachHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Ends it; false when it had ended already or is somebody else's.</summary>
    public async Task<bool> HandleAsync(Actor actor, EndReach request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ReachByReason, ct);
        var reach = await context.ReasonedReaches.SingleOrDefaultAsync(
            row => row.Id == request.Id && row.PersonId == actor.PersonId && row.UntilAt > at,
            ct
        );
        if (reach is null)
        {
            return false;
        }
        reach.UntilAt = at;
        context.Record("reach-ended", reach.ChildId, at, new AccessDetail().With("reach", reach.Id));
        await context.SaveChangesAsync(ct);
        return true;
    }
}
