using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>Plans a visit for a day, or moves one; from then on the day is fixed.</summary>
/// <param name="Id">The visit; made by the page for a new one.</param>
/// <param name="ChildId">The child.</param>
/// <param name="ClinicianId">Who goes.</param>
/// <param name="On">The day.</param>
/// <param name="StartsAt">The hour; null when only the day is known.</param>
public sealed record SavePlannedVisit(Guid Id, Guid ChildId, Guid ClinicianId, DateOnly? On, TimeOnly? StartsAt);

/// <summary>Saves planned visits.</summary>
public sealed class SavePlannedVisitHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SavePlannedVisit request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        if (request.On is not { } on || on < todayOn || on > todayOn.AddYears(1))
        {
            return [new Refusal("on", "Choose today or a day within a year.")];
        }
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var child = await context.Children.SingleOrDefaultAsync(row => row.Id == request.ChildId, ct);
        if (child is null || child.ClosedOn is not null)
        {
            return [new Refusal("on", "There is no such open case.")];
        }
        context.DemandWriting(child.Id);
        if (!await context.CliniciansInReach().AnyAsync(row => row.Id == request.ClinicianId, ct))
        {
            return [new Refusal("on", "Choose a clinician who works here.")];
        }
        var visit = await context.PlannedVisits.SingleOrDefaultAsync(row => row.Id == request.Id, ct);
        if (visit is null)
        {
            visit = new PlannedVisit
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.Id,
                ChildId = child.Id,
                ClinicianId = request.ClinicianId,
                PlannedOn = on,
                StartsAt = request.StartsAt,
                IsFixed = true,
                CreatedAt = context.At,
                ChangedAt = context.At,
            };
            context.Add(visit);
        }
        else
        {
            (visit.PlannedOn, visit.StartsAt, visit.IsFixed) = (on, request.StartsAt, true);
            visit.ChangedAt = context.At;
            visit.Revision++;
        }
        context.Record("visit-planned", child.Id, time.GetUtcNow(), new AccessDetail().With("on", on));
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException failure) when (failure.InnerException is PostgresException { ConstraintName: PlannedVisit.OneADayIndex })
        {
            return [new Refusal("on", "A visit to this child is planned for that day already.")];
        }
        catch (DbUpdateConcurrencyException)
        {
            return [new Refusal("on", "Somebody else changed this visit meanwhile. Look at the plan again.")];
        }
        return [];
    }
}
