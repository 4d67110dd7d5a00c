using Caseload.Data;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Domain.Calendar;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.VisitCalendar;

/// <summary>A child a clinician visits.</summary>
/// <param name="Id">The child.</param>
/// <param name="Name">Its name.</param>
/// <param name="Code">Its code.</param>
/// <param name="Zone">The travel zone; null when not known.</param>
public sealed record RoundChildFacts(Guid Id, string Name, string Code, string? Zone);

/// <summary>What planning a clinician's visits rests on.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Children">The clinician's open cases, those of another that the clinician covers included.</param>
/// <param name="Due">When each due check may be done, by child.</param>
/// <param name="Planned">Visits to these children planned from the first day on, also those of colleagues.</param>
/// <param name="WorkingDays">The weekdays on which the clinician works.</param>
/// <param name="AwayOn">Days of the weeks on which the clinician is away.</param>
/// <param name="MostADay">How many visits a working day has room for.</param>
public sealed record RoundFacts(
    DateOnly TodayOn,
    IReadOnlyDictionary<Guid, RoundChildFacts> Children,
    ILookup<Guid, DateSpan> Due,
    IReadOnlyList<PlannedVisit> Planned,
    IReadOnlyList<DayOfWeek> WorkingDays,
    IReadOnlyList<DateOnly> AwayOn,
    int MostADay
)
{
    /// <summary>When a child's due checks may be done.</summary>
    public IEnumerable<DateSpan> DueOf(Guid childId) => Due[childId];
}

/// <summary>Reads what planning a clinician's visits rests on; for handlers, inside their unit of work.</summary>
public static class RoundReading
{
    /// <summary>How many days are planned at once.</summary>
    public const int Days = 28;

    /// <summary>Reads it.</summary>
    public static async Task<RoundFacts> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        Guid clinicianId,
        DateOnly todayOn,
        DateOnly fromOn,
        CancellationToken ct
    )
    {
        var throughOn = fromOn.AddDays(Days - 1);
        var clinician = await context.Clinicians.AsNoTracking().SingleAsync(row => row.Id == clinicianId, ct);
        var policy = await context.Programmes.AsNoTracking().Select(row => row.WorkloadPolicy).SingleAsync(ct);
        var covers = await context.Covers.AsNoTracking().Where(row => row.FromOn <= throughOn && row.ThroughOn >= fromOn).ToListAsync(ct);
        var covered = covers
            .Where(row => row.CoveringClinicianId == clinicianId && row.FromOn <= todayOn && row.ThroughOn >= todayOn)
            .ToList();
        var absentIds = covered.Where(row => row.ChildId is null).Select(row => row.AbsentClinicianId).ToList();
        var childIds = covered.Where(row => row.ChildId is not null).Select(row => row.ChildId!.Value).ToList();
        var children = await context
            .Children.AsNoTracking()
            .Where(child => child.ClosedOn == null)
            .Where(child => child.ClinicianId == clinicianId || absentIds.Contains(child.ClinicianId!.Value) || childIds.Contains(child.Id))
            .Select(child => new RoundChildFacts(child.Id, child.FamilyName + ", " + child.GivenName, child.Code, child.Zone))
            .ToDictionaryAsync(child => child.Id, ct);
        var planned = await context
            .PlannedVisits.AsNoTracking()
            .Where(visit => visit.PlannedOn >= fromOn && children.Keys.Contains(visit.ChildId))
            .ToListAsync(ct);
        return new RoundFacts(
            todayOn,
            children,
            await DueChecks.ReadAsync(context, library, todayOn, throughOn, ct),
            planned,
            clinician.WorkingDays,
            [
                .. Enumerable
                    .Range(0, Days)
                    .Select(fromOn.AddDays)
                    .Where(on => covers.Exists(row => row.AbsentClinicianId == clinicianId && row.FromOn <= on && row.ThroughOn >= on)),
            ],
            Math.Max(1, policy.DayMinutes / (policy.VisitMinutes + policy.DocumentationMinutes + policy.TravelMinutes))
        );
    }
}
