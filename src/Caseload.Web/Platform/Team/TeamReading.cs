using Caseload.Data;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Domain.Assignment;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Team;

/// <summary>Reads the team and its open cases; for handlers, inside their unit of work.</summary>
public static class TeamReading
{
    // What makes work in the four weeks that loads are counted in.
    private const int DaysAhead = 28;

    /// <summary>Reads them.</summary>
    public static async Task<TeamFacts> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        var policy = await context.Programmes.AsNoTracking().Select(row => row.WorkloadPolicy).SingleAsync(ct);
        var clinicians = await ReadCliniciansAsync(context, policy, todayOn, ct);
        var due = await ReadDueAsync(context, (await library.GetActiveAsync(context, ct)).Set, todayOn, ct);
        var alerts = (
            await context
                .Alerts.AsNoTracking()
                .Where(row => row.ClosedAt == null)
                .Select(row => new { row.ChildId, row.Severity })
                .ToListAsync(ct)
        ).ToLookup(row => row.ChildId, row => row.Severity);
        var spans = (
            await context.Assignments.AsNoTracking().Where(row => row.ThroughOn == null || row.ThroughOn >= todayOn).ToListAsync(ct)
        ).ToLookup(row => row.ChildId);
        var ended = await context
            .Assignments.AsNoTracking()
            .Where(row => row.ThroughOn < todayOn)
            .GroupBy(row => row.ChildId)
            .Select(group => new { group.Key, EndedOn = group.Max(row => row.ThroughOn!.Value) })
            .ToDictionaryAsync(row => row.Key, row => row.EndedOn, ct);
        var never = (await context.NeverPairs.AsNoTracking().ToListAsync(ct)).ToLookup(row => row.ChildId, row => row.ClinicianId);
        var lastVisits = await context
            .ChildStatuses.AsNoTracking()
            .Where(row => row.LastVisitOn != null)
            .ToDictionaryAsync(row => row.ChildId, row => row.LastVisitOn!.Value, ct);
        var children = await context
            .Children.AsNoTracking()
            .Where(child => child.ClosedOn == null)
            .OrderBy(child => child.Code)
            .ToListAsync(ct);
        return new TeamFacts(
            todayOn,
            policy,
            clinicians,
            [
                .. children.Select(child =>
                {
                    var fromOn = due[child.Id].ToList();
                    return new TeamChild(
                        child.Id,
                        child.Code,
                        $"{child.GivenName} {child.FamilyName}",
                        child.ClinicianId,
                        child.ReferredOn ?? child.EnrolledOn,
                        ended.TryGetValue(child.Id, out var endedOn) ? endedOn.AddDays(1) : child.ReferredOn ?? child.EnrolledOn,
                        child.Language,
                        child.NeededDiscipline,
                        new WorkloadOfChild(child.VisitsInFourWeeks, child.Zone, fromOn.Count, [.. alerts[child.Id]]),
                        fromOn.Count(on => on <= SundayOf(todayOn)),
                        fromOn.Count(on => on > SundayOf(todayOn) && on <= SundayOf(todayOn).AddDays(7)),
                        lastVisits.TryGetValue(child.Id, out var visitedOn) ? visitedOn : child.EnrolledOn,
                        spans[child.Id].Where(span => span.FromOn <= todayOn).Select(span => (DateOnly?)span.FromOn).FirstOrDefault(),
                        NextOf([.. spans[child.Id]], todayOn),
                        [.. never[child.Id]]
                    );
                }),
            ]
        );
    }

    private static DateOnly SundayOf(DateOnly on) => on.AddDays((7 - (int)on.DayOfWeek) % 7);

    private static PlannedAssignment? NextOf(IReadOnlyList<Assignment> spans, DateOnly todayOn) =>
        spans.FirstOrDefault(span => span.FromOn > todayOn) is { } later ? new PlannedAssignment(later.ClinicianId, later.FromOn)
        : spans.FirstOrDefault(span => span.ThroughOn is not null) is { } ending
            ? new PlannedAssignment(null, ending.ThroughOn!.Value.AddDays(1))
        : null;

    private static async Task<List<TeamClinician>> ReadCliniciansAsync(
        CaseloadDbContext context,
        WorkloadPolicy policy,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        var away = (
            await context.Covers.AsNoTracking().Where(cover => cover.FromOn <= todayOn && cover.ThroughOn >= todayOn).ToListAsync(ct)
        ).ToLookup(cover => cover.AbsentClinicianId, cover => cover.ThroughOn);
        var rows = await context.Clinicians.AsNoTracking().Where(row => row.IsActive).OrderBy(row => row.Name).ToListAsync(ct);
        return
        [
            .. rows.Select(row => new TeamClinician(
                row.Id,
                row.Name,
                row.Discipline,
                row.Languages,
                row.Zones,
                row.MostChildren,
                row.WorkingDays.Count,
                Workload.CapacityOf(row.WorkingDays.Count, policy),
                away[row.Id].Select(on => (DateOnly?)on).Max(),
                row.RowVersion
            )),
        ];
    }

    /// <summary>From when each check of the coming weeks may be done, by child; without what a condition of the child rules out.</summary>
    private static async Task<ILookup<Guid, DateOnly>> ReadDueAsync(
        CaseloadDbContext context,
        ReferenceSet set,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        var throughOn = todayOn.AddDays(DaysAhead);
        var holding = (
            await context
                .Exclusions.AsNoTracking()
                .Where(row => row.FromOn <= todayOn && (row.ThroughOn == null || row.ThroughOn >= todayOn))
                .Select(row => new { row.ChildId, row.Exclusion })
                .ToListAsync(ct)
        ).ToLookup(row => row.ChildId, row => row.Exclusion);
        var rows = await context
            .ItemStatuses.AsNoTracking()
            .Where(row => row.CheckFromOn <= throughOn)
            .Select(row => new
            {
                row.ChildId,
                row.Item,
                FromOn = row.CheckFromOn!.Value,
            })
            .ToListAsync(ct);
        return rows.Where(row => set.Find(row.Item) is { } item && !DueRule.IsRuledOut(item, [.. holding[row.ChildId]]))
            .ToLookup(row => row.ChildId, row => row.FromOn);
    }
}
