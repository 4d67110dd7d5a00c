using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks which children the person has open by a reason.</summary>
public sealed record ListOwnReaches;

/// <summary>A child open by a reason.</summary>
/// <param name="Id">The reach.</param>
/// <param name="ChildId">The child.</param>
/// <param name="Code">The child's code.</param>
/// <param name="Reason">The stated reason.</param>
/// <param name="UntilAt">Until when, by the programme's clocks.</param>
public sealed record OwnReachRow(Guid Id, Guid ChildId, string Code, string Reason, DateTimeOffset UntilAt);

/// <summary>What the page needs.</summary>
/// <param name="Hours">For how long a child stays open.</param>
/// <param name="Rows">What is open now.</param>
public sealed record OwnReaches(int Hours, IReadOnlyList<OwnReachRow> Rows);

/// <summary>Lists the person's own running reaches.</summary>
public sealed class ListOwnReachesHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Lists.</summary>
    public async Task<OwnReaches> HandleAsync(Actor actor, ListOwnReaches request, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(request);
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ReachByReason, ct);
        var policy = await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct);
        var rows = await context
            .ReasonedReaches.AsNoTracking()
            .Where(reach => reach.PersonId == actor.PersonId && reach.UntilAt > at)
            .Join(
                context.Children,
                reach => reach.ChildId,
                child => child.Id,
                (reach, child) => new OwnReachRow(reach.Id, child.Id, child.Code, reach.Reason, reach.UntilAt)
            )
            .ToListAsync(ct);
        return new OwnReaches(
            policy.ReasonHours,
            [
                .. rows.OrderBy(row => row.UntilAt)
                    .Select(row => row with { UntilAt = TimeZoneInfo.ConvertTime(row.UntilAt, actor.TimeZone) }),
            ]
        );
    }
}
