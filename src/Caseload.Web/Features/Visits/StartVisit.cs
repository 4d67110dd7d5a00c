using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Visits;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Visits;

/// <summary>Opens a visit.</summary>
/// <param name="VisitId">Made by the page, so that a second tap finds the first one's visit.</param>
/// <param name="ChildId">The child.</param>
/// <param name="VisitedOn">The day of the visit.</param>
/// <param name="ClinicianId">Who visits; null when not said.</param>
public sealed record StartVisit(Guid VisitId, Guid ChildId, DateOnly VisitedOn, Guid? ClinicianId);

/// <summary>What became of a start.</summary>
public abstract record StartVisitOutcome
{
    private StartVisitOutcome() { }

    /// <summary>The visit is open.</summary>
    public sealed record Started(Guid VisitId) : StartVisitOutcome;

    /// <summary>The child has an open visit already; it is to be continued instead.</summary>
    public sealed record AlreadyOpen(Guid VisitId, DateOnly VisitedOn) : StartVisitOutcome
    {
        /// <summary>For the person.</summary>
        public string Message =>
            $"There is an open visit from {VisitedOn.ToString("d MMM yyyy", CultureInfo.InvariantCulture)}: continue it.";
    }

    /// <summary>It cannot be opened like that.</summary>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : StartVisitOutcome;
}

/// <summary>Opens visits.</summary>
public sealed class StartVisitHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Opens the visit, or says which one is open, or why not.</summary>
    public async Task<StartVisitOutcome> HandleAsync(Actor actor, StartVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var known = await context
            .Children.AsNoTracking()
            .Where(child => child.Id == request.ChildId)
            .Select(child => new
            {
                child.BornOn,
                child.ClosedOn,
                Open = child
                    .Visits.Where(visit => visit.FinishedAt == null || visit.Id == request.VisitId)
                    .OrderBy(visit => visit.Id == request.VisitId ? 0 : 1)
                    .ThenByDescending(visit => visit.StartedAt)
                    .Select(visit => new { visit.Id, visit.VisitedOn })
                    .FirstOrDefault(),
                HasClinician = context.Clinicians.Any(clinician => clinician.Id == request.ClinicianId && clinician.IsActive),
            })
            .SingleOrDefaultAsync(ct);

        if (known?.Open is { } open)
        {
            return open.Id == request.VisitId
                ? new StartVisitOutcome.Started(open.Id)
                : new StartVisitOutcome.AlreadyOpen(open.Id, open.VisitedOn);
        }
        var refusals = known is null
            ? [new Refusal("child", "This child is not on the caseload. Choose a child.")]
            : Refuse(request, known.BornOn, known.ClosedOn, known.HasClinician, actor.TodayOn(time));
        if (refusals.Count > 0)
        {
            return new StartVisitOutcome.Refused(refusals);
        }

        context.DemandWriting(request.ChildId);
        var at = time.GetUtcNow();
        context.Visits.Add(
            new Visit
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.VisitId,
                ChildId = request.ChildId,
                ClinicianId = request.ClinicianId,
                VisitedOn = request.VisitedOn,
                StartedAt = at,
            }
        );
        context.Record(
            "visit-started",
            request.ChildId,
            at,
            new AccessDetail().With("visit", request.VisitId).With("on", request.VisitedOn)
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException failure)
            when (failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            // The same tap arrived twice, or another tablet was first: now there is one to find.
            return await IsFoundAsync(actor, request, ct)
                ? await HandleAsync(actor, request, ct)
                : new StartVisitOutcome.Refused([
                    new Refusal("child", "This page is too old. Open it again and start the visit from there."),
                ]);
        }
        return new StartVisitOutcome.Started(request.VisitId);
    }

    private async Task<bool> IsFoundAsync(Actor actor, StartVisit request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        return await context.Visits.AnyAsync(
            visit => visit.ChildId == request.ChildId && (visit.Id == request.VisitId || visit.FinishedAt == null),
            ct
        );
    }

    private static List<Refusal> Refuse(StartVisit request, DateOnly bornOn, DateOnly? closedOn, bool hasClinician, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        if (closedOn is not null)
        {
            refusals.Add(new Refusal("child", "This case is closed. Open it again on the child's page before a visit."));
        }
        if (request.VisitedOn > todayOn)
        {
            refusals.Add(new Refusal("visitedOn", $"{Day(request.VisitedOn)} has not come yet. Enter today or an earlier day."));
        }
        if (request.VisitedOn < bornOn)
        {
            refusals.Add(new Refusal("visitedOn", $"{Day(request.VisitedOn)} lies before the birth on {Day(bornOn)}. Correct the date."));
        }
        if (request.ClinicianId is not null && !hasClinician)
        {
            refusals.Add(new Refusal("clinician", "This clinician no longer works here. Choose another."));
        }
        return refusals;

        static string Day(DateOnly on) => on.ToString("d MMM yyyy", CultureInfo.InvariantCulture);
    }
}
