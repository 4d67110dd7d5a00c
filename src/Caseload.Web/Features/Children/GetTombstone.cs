using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks what is left of a child whose record was destroyed.</summary>
/// <param name="ChildId">The child.</param>
public sealed record GetTombstone(Guid ChildId);

/// <summary>What is left of a destroyed record.</summary>
/// <param name="Code">The child's code.</param>
/// <param name="ClosedOn">The day the case was closed.</param>
/// <param name="DestroyedOn">The day the record was destroyed.</param>
/// <param name="DestroyedBy">Who destroyed it.</param>
/// <param name="Reason">Why; null for a word that is not known.</param>
/// <param name="VisitCount">How many visits it had.</param>
/// <param name="FindingCount">How many findings it had.</param>
public sealed record TombstoneView(
    string Code,
    DateOnly ClosedOn,
    DateOnly DestroyedOn,
    string DestroyedBy,
    DestructionReason? Reason,
    int VisitCount,
    int FindingCount
);

/// <summary>Finds tombstones, for people who read the whole programme.</summary>
public sealed class GetTombstoneHandler(CaseloadDb db)
{
    /// <summary>The tombstone; null when there is none or it is not for this person.</summary>
    public async Task<TombstoneView?> HandleAsync(Actor actor, GetTombstone request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var found = await context
            .ChildTombstones.AsNoTracking()
            .Where(row => row.ChildId == request.ChildId)
            .Join(context.People, row => row.DestroyedById, person => person.Id, (row, person) => new { row, person.Name })
            .SingleOrDefaultAsync(ct);
        return found is null
            ? null
            : new TombstoneView(
                found.row.Code,
                found.row.ClosedOn,
                DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(found.row.DestroyedAt, actor.TimeZone).DateTime),
                found.Name,
                EnumWords.FromWord<DestructionReason>(found.row.Reason),
                found.row.VisitCount,
                found.row.FindingCount
            );
    }
}
