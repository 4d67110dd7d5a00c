using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Ages;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Visits;

/// <summary>Asks what is needed to start a visit.</summary>
/// <param name="ChildId">The child chosen so far.</param>
/// <param name="Search">What was typed to find a child, while none is chosen.</param>
public sealed record GetVisitStart(Guid? ChildId, string Search);

/// <summary>A child that may be visited.</summary>
/// <param name="Id">The child.</param>
/// <param name="Code">Its code.</param>
/// <param name="Name">Its name.</param>
/// <param name="Age">The age to put first.</param>
/// <param name="BornOn">Date of birth.</param>
/// <param name="OpenVisitId">A visit that was started and not finished.</param>
/// <param name="OpenVisitOn">The day of that visit.</param>
public sealed record ChildToVisitRow(
    Guid Id,
    string Code,
    string Name,
    string Age,
    DateOnly BornOn,
    Guid? OpenVisitId,
    DateOnly? OpenVisitOn
);

/// <summary>What is needed to start a visit.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Children">The chosen child alone, or those that match the search.</param>
/// <param name="Clinicians">Active clinicians.</param>
public sealed record VisitStart(DateOnly TodayOn, IReadOnlyList<ChildToVisitRow> Children, IReadOnlyList<ClinicianChoice> Clinicians);

/// <summary>Gets what is needed to start a visit.</summary>
public sealed class GetVisitStartHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>How many children are offered at once.</summary>
    public const int Most = 30;

    /// <summary>Today, children and clinicians.</summary>
    public async Task<VisitStart> HandleAsync(Actor actor, GetVisitStart request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.LogVisits, ct);
        var words = request.Search.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        var query = context.Children.AsNoTracking().Where(child => child.ClosedOn == null);
        if (request.ChildId is { } id)
        {
            query = query.Where(child => child.Id == id);
        }
        else
        {
            foreach (var word in words)
            {
                var pattern = $"%{word.Replace("\\", "\\\\").Replace("%", "\\%").Replace("_", "\\_")}%";
                query = query.Where(child =>
                    EF.Functions.ILike(child.GivenName, pattern)
                    || EF.Functions.ILike(child.FamilyName, pattern)
                    || EF.Functions.ILike(child.Code, pattern)
                );
            }
        }
        var children = await query
            .OrderBy(child => child.FamilyName)
            .ThenBy(child => child.GivenName)
            .Take(Most)
            .Select(child => new
            {
                child.Id,
                child.Code,
                child.GivenName,
                child.FamilyName,
                child.BornOn,
                child.GestationDays,
                Open = child
                    .Visits.Where(visit => visit.FinishedAt == null)
                    .OrderByDescending(visit => visit.StartedAt)
                    .Select(visit => new { visit.Id, visit.VisitedOn })
                    .FirstOrDefault(),
            })
            .ToListAsync(ct);
        await context.RecordLookAsync(
            "children-listed",
            request.ChildId,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", children.Select(child => child.Id))
        );
        var clinicians = await context
            .Clinicians.AsNoTracking()
            .Where(clinician => clinician.IsActive)
            .OrderBy(clinician => clinician.Name)
            .Select(clinician => new ClinicianChoice(clinician.Id, clinician.Name))
            .ToListAsync(ct);
        var policy = await context.Programmes.Select(programme => programme.Policy).SingleAsync(ct);

        var todayOn = actor.TodayOn(time);
        return new VisitStart(
            todayOn,
            [
                .. children.Select(child => new ChildToVisitRow(
                    child.Id,
                    child.Code,
                    $"{child.GivenName} {child.FamilyName}",
                    Dates.Leading(ChildAges.Of(BirthFacts.Restore(child.BornOn, child.GestationDays), todayOn, policy)),
                    child.BornOn,
                    child.Open?.Id,
                    child.Open?.VisitedOn
                )),
            ],
            clinicians
        );
    }
}
