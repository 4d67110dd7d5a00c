using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain.Visits;
using Caseload.Web.Platform.VisitCalendar;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>Plans a clinician's coming four weeks anew; visits that somebody fixed stay.</summary>
/// <param name="ClinicianId">The clinician.</param>
public sealed record ProposeVisits(Guid ClinicianId);

/// <summary>What came of it.</summary>
/// <param name="VisitCount">How many visits were planned.</param>
/// <param name="CheckCount">How many due checks they meet.</param>
/// <param name="Gaps">Checks without a day: the child's code, and whether its days are full rather than free.</param>
public sealed record ProposedVisits(int VisitCount, int CheckCount, IReadOnlyList<(string Code, bool IsForWantOfRoom)> Gaps);

/// <summary>Plans visits.</summary>
public sealed class ProposeVisitsHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>Plans and saves; null when there is no such clinician within reach.</summary>
    public async Task<ProposedVisits?> HandleAsync(Actor actor, ProposeVisits request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        if (!await context.CliniciansInReach().AnyAsync(row => row.Id == request.ClinicianId, ct))
        {
            return null;
        }
        var facts = await RoundReading.ReadAsync(context, library, request.ClinicianId, todayOn, todayOn, ct);
        var days = Enumerable
            .Range(0, RoundReading.Days)
            .Select(todayOn.AddDays)
            .Where(on => facts.WorkingDays.Contains(on.DayOfWeek) && !facts.AwayOn.Contains(on))
            .ToList();
        var children = facts
            .Children.Values.OrderBy(child => child.Code, StringComparer.Ordinal)
            .Select(child => new RoundChild(
                child.Id,
                child.Zone,
                [.. facts.DueOf(child.Id)],
                [
                    .. facts
                        .Planned.Where(visit => visit.ChildId == child.Id && (visit.IsFixed || visit.ClinicianId != request.ClinicianId))
                        .Select(visit => visit.PlannedOn),
                ]
            ))
            .ToList();
        var plan = VisitRounds.Propose(children, days, facts.MostADay);

        var now = time.GetUtcNow();
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        await context
            .PlannedVisits.Where(visit => visit.ClinicianId == request.ClinicianId && visit.PlannedOn >= todayOn && !visit.IsFixed)
            .ExecuteDeleteAsync(ct);
        context.AddRange(
            plan.Visits.Select(visit => new PlannedVisit
            {
                ProgrammeId = actor.ProgrammeId,
                Id = Guid.CreateVersion7(now),
                ChildId = visit.ChildId,
                ClinicianId = request.ClinicianId,
                PlannedOn = visit.On,
                IsFixed = false,
                CreatedAt = now,
                ChangedAt = now,
            })
        );
        context.Record(
            "visits-proposed",
            null,
            now,
            new AccessDetail().With("clinician", request.ClinicianId).With("visits", plan.Visits.Count)
        );
        await context.SaveChangesAsync(ct);
        await transaction.CommitAsync(ct);
        return new ProposedVisits(
            plan.Visits.Count,
            plan.Visits.Sum(visit => visit.CheckCount),
            [.. plan.Gaps.Select(gap => (facts.Children[gap.ChildId].Code, gap.IsForWantOfRoom))]
        );
    }
}
