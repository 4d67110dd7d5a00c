using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Domain.Assignment;
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
        var due = await DueChecks.ReadAsync(context, library, todayOn, todayOn.AddDays(DaysAhead), ct);
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
        var covers = await CoversOnDay.ReadAsync(context, todayOn, ct);
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
                    var fromOn = due[child.Id].Select(check => check.From).ToList();
                    return new TeamChild(
                        child.Id,
                        child.Code,
                        $"{child.GivenName} {child.FamilyName}",
                        child.ClinicianId,
                        SeenBy(child),
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

        Guid? SeenBy(Child child) =>
            child.ClinicianId is { } responsibleId && covers.IsAway(responsibleId)
                ? clinicians.Find(clinician => covers.IsCoveredBy(child.Id, responsibleId, clinician.Id))?.Id ?? responsibleId
                : child.ClinicianId;
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
}
