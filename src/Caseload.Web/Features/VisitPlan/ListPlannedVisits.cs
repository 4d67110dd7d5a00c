using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain.Calendar;
using Caseload.Web.Platform;
using Caseload.Web.Platform.VisitCalendar;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>Asks for a clinician's planned visits.</summary>
/// <param name="ClinicianId">The clinician; null for oneself, or, for who sees no children, for the first by name.</param>
/// <param name="WeekOn">A day of the first week shown; null for this week.</param>
public sealed record ListPlannedVisits(Guid? ClinicianId, DateOnly? WeekOn);

/// <summary>A planned visit.</summary>
/// <param name="Id">The visit.</param>
/// <param name="ChildId">The child.</param>
/// <param name="Name">Its name.</param>
/// <param name="Code">Its code.</param>
/// <param name="Zone">The travel zone; null when not known.</param>
/// <param name="On">The day.</param>
/// <param name="StartsAt">The hour; null when only the day is known.</param>
/// <param name="IsFixed">Whether somebody chose the day.</param>
/// <param name="CheckCount">How many due checks can be done on it.</param>
/// <param name="LatestOn">The last day on which all of those can still be done; null when there are none.</param>
/// <param name="RowVersion">The version that was shown.</param>
public sealed record PlannedVisitRow(
    Guid Id,
    Guid ChildId,
    string Name,
    string Code,
    string? Zone,
    DateOnly On,
    TimeOnly? StartsAt,
    bool IsFixed,
    int CheckCount,
    DateOnly? LatestOn,
    uint RowVersion
);

/// <summary>A child with due checks that no planned visit meets.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Name">Its name.</param>
/// <param name="Code">Its code.</param>
/// <param name="CheckCount">How many checks.</param>
/// <param name="ByOn">The first day by which one of them is due.</param>
public sealed record UnmetChild(Guid ChildId, string Name, string Code, int CheckCount, DateOnly ByOn);

/// <summary>A clinician's planned visits of four weeks.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="FromOn">The Monday of the first week.</param>
/// <param name="ClinicianId">Whose visits they are; null when nobody sees children.</param>
/// <param name="Clinicians">Clinicians to choose.</param>
/// <param name="WorkingDays">The weekdays on which the clinician works.</param>
/// <param name="AwayOn">Days on which the clinician is away.</param>
/// <param name="Visits">The visits, by day and hour.</param>
/// <param name="Unmet">Children that need a visit in these weeks and have none.</param>
/// <param name="MayPlan">Whether the person may change the plan.</param>
public sealed record PlannedVisits(
    DateOnly TodayOn,
    DateOnly FromOn,
    Guid? ClinicianId,
    IReadOnlyList<ClinicianChoice> Clinicians,
    IReadOnlyList<DayOfWeek> WorkingDays,
    IReadOnlyList<DateOnly> AwayOn,
    IReadOnlyList<PlannedVisitRow> Visits,
    IReadOnlyList<UnmetChild> Unmet,
    bool MayPlan
);

/// <summary>Lists planned visits.</summary>
public sealed class ListPlannedVisitsHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The visits.</summary>
    public async Task<PlannedVisits> HandleAsync(Actor actor, ListPlannedVisits request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var clinicians = await context.ListClinicianChoicesAsync(ct);
        var chosen = request.ClinicianId ?? context.ClinicianId;
        var clinicianId = clinicians.Exists(row => row.Id == chosen) ? chosen : clinicians.FirstOrDefault()?.Id;
        var weekOn = request.WeekOn ?? todayOn;
        var fromOn = weekOn.AddDays(-(((int)weekOn.DayOfWeek + 6) % 7));
        if (clinicianId is not { } id)
        {
            return new PlannedVisits(todayOn, fromOn, null, [], [], [], [], [], false);
        }
        var facts = await RoundReading.ReadAsync(context, library, id, todayOn, fromOn, ct);
        var visits = facts
            .Planned.Where(visit => visit.ClinicianId == id)
            .Select(visit =>
            {
                var child = facts.Children[visit.ChildId];
                var met = facts.DueOf(visit.ChildId).Where(check => IsMetBy(visit, check, todayOn)).ToList();
                return new PlannedVisitRow(
                    visit.Id,
                    visit.ChildId,
                    child.Name,
                    child.Code,
                    child.Zone,
                    visit.PlannedOn,
                    visit.StartsAt,
                    visit.IsFixed,
                    met.Count,
                    met.Count == 0 ? null : met.Min(check => check.Through),
                    visit.RowVersion
                );
            })
            .OrderBy(visit => visit.On)
            .ThenBy(visit => visit.StartsAt ?? TimeOnly.MaxValue)
            .ThenBy(visit => visit.Code, StringComparer.Ordinal)
            .ToList();
        await context.RecordLookAsync(
            "visit-plan-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", facts.Children.Keys)
        );
        return new PlannedVisits(
            todayOn,
            fromOn,
            id,
            clinicians,
            facts.WorkingDays,
            facts.AwayOn,
            visits,
            [.. UnmetOf(facts)],
            context.May(Permission.LogVisits)
        );
    }

    private static IEnumerable<UnmetChild> UnmetOf(RoundFacts facts) =>
        facts
            .Children.Values.Select(child =>
                (Child: child, Unmet: facts.DueOf(child.Id).Where(check => !IsMet(facts, child.Id, check)).ToList())
            )
            .Where(pair => pair.Unmet.Count > 0)
            .Select(pair => new UnmetChild(
                pair.Child.Id,
                pair.Child.Name,
                pair.Child.Code,
                pair.Unmet.Count,
                pair.Unmet.Min(check => check.Through)
            ))
            .OrderBy(child => child.ByOn)
            .ThenBy(child => child.Code, StringComparer.Ordinal);

    private static bool IsMet(RoundFacts facts, Guid childId, DateSpan check) =>
        facts.Planned.Any(visit => visit.ChildId == childId && IsMetBy(visit, check, facts.TodayOn));

    // An overdue check is met by the next visit.
    private static bool IsMetBy(PlannedVisit visit, DateSpan check, DateOnly todayOn) =>
        visit.PlannedOn >= check.From && (visit.PlannedOn <= check.Through || check.Through < todayOn);
}
