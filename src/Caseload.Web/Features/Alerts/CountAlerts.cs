using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Alerts;

/// <summary>Asks how many alerts wait for an answer.</summary>
public sealed record CountAlerts;

/// <summary>How many alerts wait for an answer, among the children that the person reaches.</summary>
/// <param name="Open">All of them.</param>
/// <param name="SameDay">Those to be answered the same day.</param>
/// <param name="Stamp">Another text once any alert changed; pages that were not told find out by it.</param>
public sealed record AlertCount(int Open, int SameDay, string Stamp);

/// <summary>Counts open alerts. Numbers only: no child is shown, so no look is recorded.</summary>
public sealed class CountAlertsHandler(CaseloadDb db)
{
    /// <summary>The count.</summary>
    public async Task<AlertCount> HandleAsync(Actor actor, CountAlerts request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var open = await context
            .Alerts.Where(row => row.State == AlertState.Open)
            .GroupBy(row => row.Severity == Concern.SameDay)
            .Select(group => new { IsSameDay = group.Key, Count = group.Count() })
            .ToListAsync(ct);
        // Every change of an alert leaves a row: a new alert, or a step of an old one.
        var rows = await context.Alerts.CountAsync(ct) + await context.AlertSteps.LongCountAsync(ct);
        return new AlertCount(
            open.Sum(group => group.Count),
            open.Where(group => group.IsSameDay).Sum(group => group.Count),
            rows.ToString(CultureInfo.InvariantCulture)
        );
    }
}
