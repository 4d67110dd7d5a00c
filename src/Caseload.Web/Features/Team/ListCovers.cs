using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>Asks who covers whom, today and later.</summary>
public sealed record ListCovers;

/// <summary>A clinician who is or will be away.</summary>
/// <param name="Id">The cover.</param>
/// <param name="AbsentId">Who is away.</param>
/// <param name="Absent">The name.</param>
/// <param name="Covering">Who sees all the children meanwhile; null when colleagues share them.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day.</param>
/// <param name="ChildCount">How many open cases it concerns.</param>
/// <param name="Shares">When colleagues share them, who sees how many.</param>
public sealed record CoverRow(
    Guid Id,
    Guid AbsentId,
    string Absent,
    string? Covering,
    DateOnly FromOn,
    DateOnly ThroughOn,
    int ChildCount,
    IReadOnlyList<CoverShare> Shares
)
{
    /// <summary>Whether it holds on a day.</summary>
    public bool HoldsOn(DateOnly on) => FromOn <= on && on <= ThroughOn;
}

/// <summary>How many children a colleague sees meanwhile.</summary>
/// <param name="Covering">The colleague.</param>
/// <param name="ChildCount">How many children.</param>
public sealed record CoverShare(string Covering, int ChildCount);

/// <summary>Covers and who can be chosen for one.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Covers">Present and coming covers, soonest first.</param>
/// <param name="Clinicians">Clinicians who work here.</param>
public sealed record CoverList(DateOnly TodayOn, IReadOnlyList<CoverRow> Covers, IReadOnlyList<ClinicianChoice> Clinicians);

/// <summary>Lists covers.</summary>
public sealed class ListCoversHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The covers.</summary>
    public async Task<CoverList> HandleAsync(Actor actor, ListCovers request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.ArrangeCover, ct);
        var names = await context.Clinicians.AsNoTracking().ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        var covers = await context
            .Covers.AsNoTracking()
            .Where(cover => cover.ThroughOn >= todayOn)
            .OrderBy(cover => cover.FromOn)
            .ThenBy(cover => cover.Id)
            .ToListAsync(ct);
        var absentIds = covers.Select(cover => cover.AbsentClinicianId).Distinct().ToList();
        var childCounts = await context
            .Children.Where(child => child.ClosedOn == null && absentIds.Contains(child.ClinicianId!.Value))
            .GroupBy(child => child.ClinicianId!.Value)
            .Select(group => new { group.Key, Count = group.Count() })
            .ToDictionaryAsync(row => row.Key, row => row.Count, ct);
        var rows = covers
            .Where(cover => cover.ChildId is null)
            .Select(cover => new CoverRow(
                cover.Id,
                cover.AbsentClinicianId,
                names[cover.AbsentClinicianId],
                cover.CoveringClinicianId is { } id ? names[id] : null,
                cover.FromOn,
                cover.ThroughOn,
                childCounts.GetValueOrDefault(cover.AbsentClinicianId),
                [
                    .. covers
                        .Where(share =>
                            share.ChildId is not null
                            && share.AbsentClinicianId == cover.AbsentClinicianId
                            && share.FromOn <= cover.ThroughOn
                            && share.ThroughOn >= cover.FromOn
                        )
                        .GroupBy(share => names[share.CoveringClinicianId!.Value])
                        .OrderBy(group => group.Key, StringComparer.CurrentCulture)
                        .Select(group => new CoverShare(group.Key, group.Count())),
                ]
            ))
            .ToList();
        var clinicians = await context
            .Clinicians.AsNoTracking()
            .Where(clinician => clinician.IsActive)
            .OrderBy(clinician => clinician.Name)
            .Select(clinician => new ClinicianChoice(clinician.Id, clinician.Name))
            .ToListAsync(ct);
        return new CoverList(todayOn, rows, clinicians);
    }
}
