using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Ends a cover: today's is the first day without it; one that has not begun goes altogether.</summary>
/// <param name="CoverId">The cover.</param>
public sealed record EndCover(Guid CoverId);

/// <summary>Ends covers early.</summary>
public sealed class EndCoverHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Ends it; false when it was over already.</summary>
    public async Task<bool> HandleAsync(Actor actor, EndCover request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ArrangeCover, ct);
        var cover = await context.Covers.SingleOrDefaultAsync(row => row.Id == request.CoverId, ct);
        if (cover is null || cover.ThroughOn < todayOn)
        {
            return false;
        }
        // Whoever is back is back for all children, also for those that were shared out.
        var shares = await context
            .Covers.Where(row =>
                cover.ChildId == null
                && row.ChildId != null
                && row.AbsentClinicianId == cover.AbsentClinicianId
                && row.FromOn <= cover.ThroughOn
                && row.ThroughOn >= cover.FromOn
                && row.ThroughOn >= todayOn
            )
            .ToListAsync(ct);
        foreach (var row in shares.Prepend(cover))
        {
            if (row.FromOn >= todayOn)
            {
                // It never held on a whole day; the access record keeps that it was arranged and ended.
                context.Remove(row);
            }
            else
            {
                row.ThroughOn = todayOn.AddDays(-1);
            }
        }
        context.Record("cover-ended", null, time.GetUtcNow(), new AccessDetail().With("cover", cover.Id));
        await context.SaveChangesAsync(ct);
        return true;
    }
}
