using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain.Findings;
using Caseload.Domain.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Summaries;

/// <summary>What was known of some children by an instant.</summary>
internal sealed class KnownRecords
{
    private readonly ILookup<Guid, Finding> _findings;
    private readonly ILookup<Guid, ChildExclusion> _exclusions;
    private readonly ILookup<Guid, RecordedSign> _signs;
    private readonly Dictionary<Guid, DateOnly> _lastVisits;
    private readonly Dictionary<Guid, DateOnly> _nextVisits;
    private readonly Dictionary<Guid, Guid> _clinicians;

    private KnownRecords(
        ILookup<Guid, Finding> findings,
        ILookup<Guid, ChildExclusion> exclusions,
        ILookup<Guid, RecordedSign> signs,
        Dictionary<Guid, DateOnly> lastVisits,
        Dictionary<Guid, DateOnly> nextVisits,
        Dictionary<Guid, Guid> clinicians
    )
    {
        _findings = findings;
        _exclusions = exclusions;
        _signs = signs;
        _lastVisits = lastVisits;
        _nextVisits = nextVisits;
        _clinicians = clinicians;
    }

    /// <summary>Reads what was recorded before an instant.</summary>
    internal static async Task<KnownRecords> ReadAsync(
        CaseloadDbContext context,
        IReadOnlyCollection<Child> children,
        DateOnly asOfOn,
        DateTimeOffset knownBefore,
        CancellationToken ct
    )
    {
        var ids = children.Select(child => child.Id).ToArray();
        var findings = await ChildFindings.ReadAsync(
            context.Findings.Where(row => EF.Parameter(ids).Contains(row.ChildId) && row.RecordedAt < knownBefore),
            ct
        );
        var exclusions = await context.Exclusions.AsNoTracking().Where(row => EF.Parameter(ids).Contains(row.ChildId)).ToListAsync(ct);
        var signs = await context
            .Signs.AsNoTracking()
            .Where(row =>
                EF.Parameter(ids).Contains(row.ChildId) && row.SeenOn <= asOfOn && (row.SettledOn == null || row.SettledOn > asOfOn)
            )
            .ToListAsync(ct);
        foreach (var sign in signs)
        {
            // Settled later: on the day it stood.
            sign.SettledOn = null;
        }
        var lastVisits = await context
            .Visits.Where(row => EF.Parameter(ids).Contains(row.ChildId) && row.VisitedOn <= asOfOn && row.FinishedAt < knownBefore)
            .GroupBy(row => row.ChildId)
            .Select(group => new { ChildId = group.Key, On = group.Max(row => row.VisitedOn) })
            .ToDictionaryAsync(row => row.ChildId, row => row.On, ct);
        var nextVisits = await context
            .PlannedVisits.Where(row => EF.Parameter(ids).Contains(row.ChildId) && row.PlannedOn >= asOfOn && row.ChangedAt < knownBefore)
            .GroupBy(row => row.ChildId)
            .Select(group => new { ChildId = group.Key, On = group.Min(row => row.PlannedOn) })
            .ToDictionaryAsync(row => row.ChildId, row => row.On, ct);
        var assigned = await context
            .Assignments.AsNoTracking()
            .Where(row => EF.Parameter(ids).Contains(row.ChildId) && row.FromOn <= asOfOn && row.RecordedAt < knownBefore)
            .Where(row => row.ThroughOn == null || row.ThroughOn >= asOfOn || row.EndRecordedAt >= knownBefore)
            .Select(row => new
            {
                row.ChildId,
                row.ClinicianId,
                row.FromOn,
            })
            .ToListAsync(ct);
        return new KnownRecords(
            findings,
            exclusions.ToLookup(row => row.ChildId, row => row.ToExclusion()),
            signs.ToLookup(row => row.ChildId),
            lastVisits,
            nextVisits,
            assigned.GroupBy(row => row.ChildId).ToDictionary(group => group.Key, group => group.MaxBy(row => row.FromOn)!.ClinicianId)
        );
    }

    /// <summary>The record of a child as the rules take it, with the clinician of the day.</summary>
    internal ChildRecord Of(Child child)
    {
        child.ClinicianId = _clinicians.TryGetValue(child.Id, out var clinicianId) ? clinicianId : null;
        return new ChildRecord(
            child,
            [.. _findings[child.Id]],
            [.. _exclusions[child.Id]],
            [.. _signs[child.Id]],
            _lastVisits.TryGetValue(child.Id, out var on) ? on : null
        );
    }

    /// <summary>The next planned visit of a child.</summary>
    internal DateOnly? NextVisitOn(Guid childId) => _nextVisits.TryGetValue(childId, out var on) ? on : null;
}
