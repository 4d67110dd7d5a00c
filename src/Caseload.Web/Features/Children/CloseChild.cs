using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Closes a child's case, or opens it again.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Reason">Why it is closed; null opens it again.</param>
public sealed record CloseChild(Guid ChildId, string? Reason);

/// <summary>Closes and reopens cases. Nothing is deleted.</summary>
public sealed class CloseChildHandler(CaseloadDb db, StatusProjection projection, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, CloseChild request, CancellationToken ct)
    {
        if (request.Reason is not null && request.Reason.Trim().Length is 0 or > TextLimits.Line)
        {
            return [new Refusal("closing-reason", $"Say in up to {TextLimits.Line} characters why the case is closed.")];
        }
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        if (await context.Children.SingleOrDefaultAsync(row => row.Id == request.ChildId, ct) is not { } child)
        {
            return [new Refusal("child", "There is no such child.")];
        }
        context.DemandWriting(child.Id);
        if (request.Reason is not null && await context.Visits.AnyAsync(visit => visit.ChildId == child.Id && visit.FinishedAt == null, ct))
        {
            return [new Refusal("closing-reason", "A visit is still open. Finish it first.")];
        }

        child.ClosedOn = request.Reason is null ? null : todayOn;
        child.ClosingReason = request.Reason?.Trim();
        child.UpdatedAt = time.GetUtcNow();
        if (request.Reason is not null)
        {
            await AssignmentBook.CloseAsync(context, child, todayOn, ct);
        }
        else
        {
            var wish = new AssignmentWish(Guid.CreateVersion7(child.UpdatedAt), child.ClinicianId, todayOn, null);
            await AssignmentBook.AssignAsync(context, child, wish, todayOn, ct);
        }
        await projection.RewriteAsync(context, child.Id, todayOn, ct);
        context.Record(request.Reason is null ? "child-reopened" : "child-closed", child.Id, time.GetUtcNow());
        await context.SaveChangesAsync(ct);
        return [];
    }
}
