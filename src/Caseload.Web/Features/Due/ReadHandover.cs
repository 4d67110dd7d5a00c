using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Due;

/// <summary>Puts a handover away as read.</summary>
/// <param name="AssignmentId">The assignment.</param>
public sealed record ReadHandover(Guid AssignmentId);

/// <summary>Puts handovers away.</summary>
public sealed class ReadHandoverHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Puts it away; false when it is not the person's, or was put away before.</summary>
    public async Task<bool> HandleAsync(Actor actor, ReadHandover request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var me = context.ClinicianId;
        var row = await context.Assignments.SingleOrDefaultAsync(
            row => row.Id == request.AssignmentId && row.ClinicianId == me && row.ReadAt == null,
            ct
        );
        if (row is null)
        {
            return false;
        }
        row.ReadAt = time.GetUtcNow();
        context.Record("handover-read", row.ChildId, time.GetUtcNow());
        await context.SaveChangesAsync(ct);
        return true;
    }
}
