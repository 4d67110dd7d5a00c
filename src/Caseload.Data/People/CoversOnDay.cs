using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.People;

/// <summary>Who is away on a day, and who sees which children meanwhile.</summary>
public sealed class CoversOnDay
{
    private readonly HashSet<Guid> _away;
    private readonly HashSet<(Guid Absent, Guid Covering)> _all;
    private readonly HashSet<(Guid Child, Guid Absent, Guid Covering)> _single;

    private CoversOnDay(IReadOnlyList<Cover> covers)
    {
        _away = [.. covers.Select(cover => cover.AbsentClinicianId)];
        _all =
        [
            .. covers
                .Where(cover => cover is { ChildId: null, CoveringClinicianId: not null })
                .Select(cover => (cover.AbsentClinicianId, cover.CoveringClinicianId!.Value)),
        ];
        _single =
        [
            .. covers
                .Where(cover => cover.ChildId is not null)
                .Select(cover => (cover.ChildId!.Value, cover.AbsentClinicianId, cover.CoveringClinicianId!.Value)),
        ];
    }

    /// <summary>Reads the covers of a day.</summary>
    public static async Task<CoversOnDay> ReadAsync(CaseloadDbContext context, DateOnly onDay, CancellationToken ct) =>
        new(await context.Covers.AsNoTracking().Where(cover => cover.FromOn <= onDay && cover.ThroughOn >= onDay).ToListAsync(ct));

    /// <summary>Whether a clinician is away.</summary>
    public bool IsAway(Guid clinicianId) => _away.Contains(clinicianId);

    /// <summary>Whether a clinician sees a child in place of the one who is responsible.</summary>
    public bool IsCoveredBy(Guid childId, Guid responsibleId, Guid clinicianId) =>
        _all.Contains((responsibleId, clinicianId)) || _single.Contains((childId, responsibleId, clinicianId));
}
