using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Record;

/// <summary>Asks for the children opened by a reason that nobody has looked over.</summary>
public sealed record ListReasonedReaches;

/// <summary>A child opened by a reason.</summary>
/// <param name="Id">The reach.</param>
/// <param name="RowVersion">Its version.</param>
/// <param name="Who">The person.</param>
/// <param name="IsOwn">Whether it is the reader's own, which somebody else looks over.</param>
/// <param name="ChildId">The child.</param>
/// <param name="ChildCode">The child's code.</param>
/// <param name="Reason">The stated reason.</param>
/// <param name="FromAt">From when, by the programme's clocks.</param>
/// <param name="UntilAt">Until when.</param>
public sealed record ReasonedReachRow(
    Guid Id,
    uint RowVersion,
    string Who,
    bool IsOwn,
    Guid ChildId,
    string ChildCode,
    string Reason,
    DateTimeOffset FromAt,
    DateTimeOffset UntilAt
);

/// <summary>Lists children opened by a reason, oldest first.</summary>
public sealed class ListReasonedReachesHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Lists.</summary>
    public async Task<IReadOnlyList<ReasonedReachRow>> HandleAsync(Actor actor, ListReasonedReaches request, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(request);
        await using var context = await db.EnterAsync(actor, Permission.SearchAccessRecord, ct);
        var found = await (
            from reach in context.ReasonedReaches.AsNoTracking()
            join child in context.Children on reach.ChildId equals child.Id
            join person in context.People on reach.PersonId equals person.Id
            where reach.ReviewedAt == null
            orderby reach.FromAt
            select new
            {
                Reach = reach,
                child.Code,
                person.Name,
            }
        ).ToListAsync(ct);
        if (found.Count > 0)
        {
            await context.RecordLookAsync(
                "reaches-listed",
                null,
                time.GetUtcNow(),
                ct,
                new AccessDetail().WithAll("children", found.Select(row => row.Reach.ChildId).Distinct())
            );
        }
        return
        [
            .. found.Select(row => new ReasonedReachRow(
                row.Reach.Id,
                row.Reach.RowVersion,
                row.Name,
                row.Reach.PersonId == actor.PersonId,
                row.Reach.ChildId,
                row.Code,
                row.Reach.Reason,
                ProgrammeDays.In(row.Reach.FromAt, actor.TimeZone),
                ProgrammeDays.In(row.Reach.UntilAt, actor.TimeZone)
            )),
        ];
    }
}
