using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Due;

/// <summary>Asks which children were given to the person lately, and are not put away as read.</summary>
public sealed record ListHandovers;

/// <summary>A child that was given to the person.</summary>
/// <param name="AssignmentId">The assignment.</param>
/// <param name="ChildId">The child.</param>
/// <param name="Name">Its name.</param>
/// <param name="Code">Its code.</param>
/// <param name="FromOn">Since when.</param>
/// <param name="From">Who had the child before; null for nobody.</param>
/// <param name="Who">Who gave it.</param>
/// <param name="Note">The handover note; null without one.</param>
/// <param name="OpenAlerts">How many alerts are open.</param>
/// <param name="DueChecks">How many checks are due now.</param>
public sealed record HandoverRow(
    Guid AssignmentId,
    Guid ChildId,
    string Name,
    string Code,
    DateOnly FromOn,
    string? From,
    string Who,
    string? Note,
    int OpenAlerts,
    int DueChecks
);

/// <summary>Lists handovers.</summary>
public sealed class ListHandoversHandler(CaseloadDb db, TimeProvider time)
{
    // After that, what is open stands on the lists like everything else.
    private const int DaysShown = 30;

    /// <summary>The handovers, the newest first.</summary>
    public async Task<IReadOnlyList<HandoverRow>> HandleAsync(Actor actor, ListHandovers request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        if (context.ClinicianId is not { } me)
        {
            return [];
        }
        var since = todayOn.AddDays(-DaysShown);
        var rows = await context
            .Assignments.AsNoTracking()
            .Where(row => row.ClinicianId == me && row.ReadAt == null && row.FromOn <= todayOn && row.FromOn >= since)
            .Where(row => row.ThroughOn == null && row.Child!.ClosedOn == null)
            .OrderByDescending(row => row.FromOn)
            .ThenBy(row => row.Child!.Code)
            .Select(row => new HandoverRow(
                row.Id,
                row.ChildId,
                row.Child!.GivenName + " " + row.Child.FamilyName,
                row.Child.Code,
                row.FromOn,
                context
                    .Assignments.Where(before => before.ChildId == row.ChildId && before.FromOn < row.FromOn)
                    .OrderByDescending(before => before.FromOn)
                    .Select(before => context.Clinicians.First(clinician => clinician.Id == before.ClinicianId).Name)
                    .FirstOrDefault(),
                row.Who,
                row.Handover,
                row.Child.Alerts.Count(alert => alert.ClosedAt == null),
                row.Child.Statuses.Count(status => status.CheckFromOn <= todayOn)
            ))
            .ToListAsync(ct);
        if (rows.Count > 0)
        {
            var detail = new AccessDetail().WithAll("children", rows.Select(row => row.ChildId));
            await context.RecordLookAsync("handovers-listed", null, time.GetUtcNow(), ct, detail);
        }
        return rows;
    }
}
