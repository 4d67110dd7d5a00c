using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform;

/// <summary>Reads findings of many children as the rules take them; for handlers and jobs, inside their unit of work.</summary>
public static class ChildFindings
{
    /// <summary>Reads those of the query, by the day of the look; only the columns that rules look at.</summary>
    public static async Task<ILookup<Guid, Finding>> ReadAsync(IQueryable<RecordedFinding> findings, CancellationToken ct)
    {
        var rows = await findings
            .AsNoTracking()
            .OrderBy(row => row.ObservedOn)
            .Select(row => new
            {
                row.ChildId,
                row.Id,
                row.Item,
                row.ObservedOn,
                row.Side,
                row.Response,
                row.State,
                row.NotTested,
                row.CorrectsId,
                row.IsWithdrawal,
            })
            .ToListAsync(ct);
        return rows.ToLookup(
            row => row.ChildId,
            row => new Finding(row.Id, row.Item, row.ObservedOn, row.Side, row.Response, row.State, row.NotTested)
            {
                Corrects = row.CorrectsId,
                IsWithdrawal = row.IsWithdrawal,
            }
        );
    }
}
