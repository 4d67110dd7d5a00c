using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Asks who covers whom, today and later.</summary>
public sealed record ListCovers;

/// <summary>A clinician to choose.</summary>
/// <param name="Id">The clinician.</param>
/// <param name="Name">The name.</param>
public sealed record CoverChoice(Guid Id, string Name);

/// <summary>A cover that holds or will.</summary>
/// <param name="Id">The cover.</param>
/// <param name="Absent">Who is away.</param>
/// <param name="Covering">Who sees the children meanwhile.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day.</param>
/// <param name="ChildCount">How many open cases it concerns.</param>
public sealed record CoverRow(Guid Id, string Absent, string Covering, DateOnly FromOn, DateOnly ThroughOn, int ChildCount)
{
    /// <summary>Whether it holds on a day.</summary>
    public bool HoldsOn(DateOnly on) => FromOn <= on && on <= ThroughOn;
}

/// <summary>Covers and who can be chosen for one.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Covers">Present and coming covers, soonest first.</param>
/// <param name="Clinicians">Clinicians who work here.</param>
public sealed record CoverList(DateOnly TodayOn, IReadOnlyList<CoverRow> Covers, IReadOnlyList<CoverChoice> Clinicians);

/// <summary>Lists covers.</summary>
public sealed class ListCoversHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The covers.</summary>
    public async Task<CoverList> HandleAsync(Actor actor, ListCovers request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ArrangeCover, ct);
        var covers = await context
            .Covers.AsNoTracking()
            .Where(cover => cover.ThroughOn >= todayOn)
            .OrderBy(cover => cover.FromOn)
            .ThenBy(cover => cover.Id)
            .Select(cover => new CoverRow(
                cover.Id,
                context.Clinicians.First(clinician => clinician.Id == cover.AbsentClinicianId).Name,
                context.Clinicians.First(clinician => clinician.Id == cover.CoveringClinicianId).Name,
                cover.FromOn,
                cover.ThroughOn,
                context.Children.Count(child => child.ClinicianId == cover.AbsentClinicianId && child.ClosedOn == null)
            ))
            .ToListAsync(ct);
        var clinicians = await context
            .Clinicians.AsNoTracking()
            .Where(clinician => clinician.IsActive)
            .OrderBy(clinician => clinician.Name)
            .Select(clinician => new CoverChoice(clinician.Id, clinician.Name))
            .ToListAsync(ct);
        return new CoverList(todayOn, covers, clinicians);
    }
}
