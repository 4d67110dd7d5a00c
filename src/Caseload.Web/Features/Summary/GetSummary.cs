using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Summaries;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Summary;

/// <summary>A summary on the screen.</summary>
/// <param name="Summary">The summary; null when it was refused.</param>
/// <param name="Clinicians">Clinicians to filter by.</param>
/// <param name="Zones">Zones to filter by.</param>
/// <param name="MayHaveNames">Whether the person may have names and birth dates in it.</param>
/// <param name="Refusals">Why it could not be.</param>
public sealed record SummaryView(
    CaseloadSummary? Summary,
    IReadOnlyList<ClinicianChoice> Clinicians,
    IReadOnlyList<string> Zones,
    bool MayHaveNames,
    IReadOnlyList<Refusal> Refusals
);

/// <summary>Shows a caseload summary.</summary>
public sealed class GetSummaryHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The summary.</summary>
    public async Task<SummaryView> HandleAsync(Actor actor, SummaryRequest request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var mayHaveNames = context.May(Permission.EditChildren);
        var refusals = request.Refuse(todayOn);
        var clinicians = await context.ListClinicianChoicesAsync(ct);
        var zones = await context
            .Children.Where(child => child.ClosedOn == null && child.Zone != null)
            .Select(child => child.Zone!)
            .Distinct()
            .OrderBy(zone => zone)
            .ToListAsync(ct);
        if (refusals.Count > 0)
        {
            return new SummaryView(null, clinicians, zones, mayHaveNames, refusals);
        }
        var summary = await SummaryReading.ReadAsync(
            context,
            library,
            await request.AskAsync(context, todayOn, ct),
            new SummarySheet(actor.DisplayName, time.GetUtcNow(), actor.TimeZone, request.WithNames && mayHaveNames),
            null,
            ct
        );
        await context.RecordLookAsync(
            "summary-opened",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().With("as-of", summary.Head.Ask.AsOfOn).WithAll("children", summary.Children.Select(child => child.Id))
        );
        return new SummaryView(summary, clinicians, zones, mayHaveNames, []);
    }
}
