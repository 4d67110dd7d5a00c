using Caseload.Data;
using Caseload.Data.Programmes;
using Caseload.Domain.Calendar;
using Caseload.Domain.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform;

/// <summary>Reads when each due check of open cases may be done; for handlers, inside their unit of work.</summary>
public static class DueChecks
{
    /// <summary>The spans of checks that may begin by a day, by child; without what a condition of the child rules out today.</summary>
    public static async Task<ILookup<Guid, DateSpan>> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        DateOnly todayOn,
        DateOnly throughOn,
        CancellationToken ct
    )
    {
        var set = (await library.GetActiveAsync(context, ct)).Set;
        var holding = (
            await context
                .Exclusions.AsNoTracking()
                .Where(row => row.FromOn <= todayOn && (row.ThroughOn == null || row.ThroughOn >= todayOn))
                .Select(row => new { row.ChildId, row.Exclusion })
                .ToListAsync(ct)
        ).ToLookup(row => row.ChildId, row => row.Exclusion);
        var rows = await context
            .ItemStatuses.AsNoTracking()
            .Where(row => row.CheckFromOn <= throughOn && row.CheckThroughOn != null && row.Child!.ClosedOn == null)
            .Select(row => new
            {
                row.ChildId,
                row.Item,
                FromOn = row.CheckFromOn!.Value,
                ThroughOn = row.CheckThroughOn!.Value,
            })
            .ToListAsync(ct);
        return rows.Where(row => set.Find(row.Item) is { } item && !DueRule.IsRuledOut(item, [.. holding[row.ChildId]]))
            .ToLookup(row => row.ChildId, row => new DateSpan(row.FromOn, row.ThroughOn));
    }
}
