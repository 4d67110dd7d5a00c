using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Record;

/// <summary>Asks for the closed records whose time to be kept is over.</summary>
public sealed record ListOverdueRecords;

/// <summary>A record whose time is over.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="ClosedOn">The day the case was closed.</param>
public sealed record OverdueRecordRow(Guid ChildId, string Code, DateOnly ClosedOn);

/// <summary>The records and the rule.</summary>
/// <param name="Years">Years after closing for which records are kept.</param>
/// <param name="Rows">The records, longest closed first.</param>
public sealed record OverdueRecords(int Years, IReadOnlyList<OverdueRecordRow> Rows);

/// <summary>Lists records whose time is over.</summary>
public sealed class ListOverdueRecordsHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Lists.</summary>
    public async Task<OverdueRecords> HandleAsync(Actor actor, ListOverdueRecords request, CancellationToken ct)
    {
        ArgumentNullException.ThrowIfNull(request);
        await using var context = await db.EnterAsync(actor, Permission.DestroyRecords, ct);
        var years = (await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct)).ChildRecordYears;
        var todayOn = actor.TodayOn(time);
        // A day later than the closing could be, for 29 February; the exact rule decides below.
        var latestOn = todayOn.AddYears(-years).AddDays(1);
        var rows = await context
            .Children.AsNoTracking()
            .Where(child => child.ClosedOn <= latestOn)
            .OrderBy(child => child.ClosedOn)
            .Select(child => new OverdueRecordRow(child.Id, child.Code, child.ClosedOn!.Value))
            .ToListAsync(ct);
        var overdue = rows.Where(row => row.ClosedOn.AddYears(years) <= todayOn).ToList();
        if (overdue.Count > 0)
        {
            await context.RecordLookAsync(
                "children-listed",
                null,
                time.GetUtcNow(),
                ct,
                new AccessDetail().WithAll("children", overdue.Select(row => row.ChildId))
            );
        }
        return new OverdueRecords(years, overdue);
    }
}
