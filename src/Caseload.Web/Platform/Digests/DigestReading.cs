using Caseload.Data;
using Caseload.Data.Alerts;
using Caseload.Data.Digests;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Domain.Alerts;
using Caseload.Domain.Calendar;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Wording;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Digests;

/// <summary>Everything that a programme's digests of one week say, read and worked out once for all of its readers.</summary>
public sealed class DigestReading
{
    private const int TrendWeeks = 12;

    // Findings of this many children are held at a time.
    private const int BatchSize = 200;

    private readonly DigestRhythm _rhythm;
    private readonly DigestWeek _digest;
    private readonly List<DigestChildPart> _parts = [];
    private readonly Dictionary<Guid, string> _clinicians = [];
    private CoversOnDay? _covers;
    private List<AlertRow> _alerts = [];

    private DigestReading(DigestRhythm rhythm, DigestWeek digest)
    {
        _rhythm = rhythm;
        _digest = digest;
    }

    private DateTimeOffset BeforeAt => _rhythm.Before(_digest, 1).At;

    /// <summary>Reads.</summary>
    /// <param name="context">The store, seen by a job.</param>
    /// <param name="library">The reference sets.</param>
    /// <param name="rhythm">When the programme's digests are due.</param>
    /// <param name="digest">Which one is made; made late, it says what held on its day as far as it is known by now.</param>
    /// <param name="policy">The programme's numbers.</param>
    /// <param name="ct">Cancels.</param>
    public static async Task<DigestReading> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        DigestRhythm rhythm,
        DigestWeek digest,
        AlertPolicy policy,
        CancellationToken ct
    )
    {
        var reading = new DigestReading(rhythm, digest);
        var interpreter = await library.GetActiveAsync(context, ct);
        await reading.ReadCliniciansAsync(context, ct);
        await reading.ReadChildrenAsync(context, interpreter, policy, ct);
        await reading.ReadAlertsAsync(context, interpreter, ct);
        return reading;
    }

    /// <summary>The digest of a clinician: the own children, and those of whom the clinician covers for on the digest's day.</summary>
    public DigestContent ForClinician(Guid clinicianId) =>
        ContentOf(
            DigestScope.Clinician,
            [
                .. _parts.Where(part =>
                    part.ClinicianId is { } id && (id == clinicianId || _covers!.IsCoveredBy(part.ChildId, id, clinicianId))
                ),
            ],
            id => id == clinicianId ? null : LabelOf(id),
            null
        );

    /// <summary>The digest of a team lead: the whole programme.</summary>
    public DigestContent ForProgramme() => ContentOf(DigestScope.Programme, _parts, LabelOf, TeamOf());

    private async Task ReadCliniciansAsync(CaseloadDbContext context, CancellationToken ct)
    {
        var rows = await context
            .Clinicians.AsNoTracking()
            .OrderBy(row => row.Initials)
            .ThenByDescending(row => row.IsActive)
            .ThenBy(row => row.Id)
            .Select(row => new { row.Id, row.Initials })
            .ToListAsync(ct);
        foreach (var (initials, same) in rows.GroupBy(row => row.Initials).Select(group => (group.Key, group.ToList())))
        {
            for (var index = 0; index < same.Count; index++)
            {
                _clinicians[same[index].Id] = index == 0 ? initials : $"{initials} {index + 1}";
            }
        }
        var on = _digest.AsOfOn;
        _covers = await CoversOnDay.ReadAsync(context, on, ct);
    }

    private async Task ReadChildrenAsync(CaseloadDbContext context, Interpreter interpreter, AlertPolicy policy, CancellationToken ct)
    {
        var asOfOn = _digest.AsOfOn;
        var days = new DigestDays(
            asOfOn,
            [.. Enumerable.Range(0, TrendWeeks).Select(index => _rhythm.Before(_digest, TrendWeeks - 1 - index).AsOfOn)]
        );
        var firstOn = days.TrendOn[0];
        var children = await context
            .Children.AsNoTracking()
            .Where(child => child.ClosedOn == null || child.ClosedOn > firstOn)
            .OrderBy(child => child.Code)
            .ToListAsync(ct);
        var exclusions = (await context.Exclusions.AsNoTracking().ToListAsync(ct)).ToLookup(row => row.ChildId, row => row.ToExclusion());
        var lastVisits = await context
            .Visits.Where(visit => visit.FinishedAt != null && visit.VisitedOn <= asOfOn)
            .GroupBy(visit => visit.ChildId)
            .Select(group => new { ChildId = group.Key, LastOn = group.Max(visit => visit.VisitedOn) })
            .ToDictionaryAsync(row => row.ChildId, row => row.LastOn, ct);
        foreach (var batch in children.Chunk(BatchSize))
        {
            var findings = await FindingsOfAsync(context, [.. batch.Select(child => child.Id)], ct);
            _parts.AddRange(
                batch.Select(child =>
                    DigestChildPart.Of(
                        child,
                        ChildCourse.Of(interpreter, child.ToFacts(), [.. findings[child.Id]]),
                        [.. exclusions[child.Id]],
                        lastVisits.TryGetValue(child.Id, out var lastOn) ? lastOn : null,
                        interpreter.Set.Items,
                        days,
                        policy
                    )
                )
            );
        }
    }

    // Later findings as well: one may correct an earlier one, and the interpreter does not look at days that are still to come.
    private static Task<ILookup<Guid, Finding>> FindingsOfAsync(CaseloadDbContext context, Guid[] childIds, CancellationToken ct) =>
        ChildFindings.ReadAsync(context.Findings.Where(row => EF.Parameter(childIds).Contains(row.ChildId)), ct);

    private async Task ReadAlertsAsync(CaseloadDbContext context, Interpreter interpreter, CancellationToken ct)
    {
        var (before, at) = (BeforeAt, _digest.At);
        var rows = await context
            .Alerts.AsNoTracking()
            .Where(alert => alert.RaisedAt <= at && (alert.ClosedAt == null || alert.ClosedAt > before))
            .OrderByDescending(alert => alert.Severity)
            .ThenBy(alert => alert.RaisedOn)
            .ThenBy(alert => alert.Child!.Code)
            .ThenBy(alert => alert.Kind)
            .ThenBy(alert => alert.Item)
            .ThenBy(alert => alert.RaisedAt)
            .Select(alert => new
            {
                alert.ChildId,
                alert.Kind,
                alert.Step,
                alert.Item,
                alert.Severity,
                alert.RaisedOn,
                alert.RaisedAt,
                alert.ClosedAt,
                alert.ClosedBecause,
            })
            .ToListAsync(ct);
        _alerts =
        [
            .. rows.Select(row => new AlertRow(
                new DigestAlert(
                    row.ChildId,
                    row.Kind,
                    AlertMail.TitleOf(row.Kind, row.Step, row.Item, interpreter.Set),
                    row.Severity,
                    row.RaisedOn,
                    row.ClosedAt <= at ? row.ClosedBecause : null
                ),
                row.RaisedAt > before,
                row.ClosedAt is null || row.ClosedAt > at
            )),
        ];
    }

    private string? LabelOf(Guid? clinicianId) => clinicianId is { } id ? _clinicians.GetValueOrDefault(id) : null;

    private DigestContent ContentOf(
        DigestScope scope,
        IReadOnlyList<DigestChildPart> parts,
        Func<Guid?, string?> clinicianOf,
        DigestTeam? team
    )
    {
        var open = parts.Where(part => part.IsOpen).ToList();
        var openIds = open.Select(part => part.ChildId).ToHashSet();
        var ids = parts.Select(part => part.ChildId).ToHashSet();
        var content = new DigestContent(
            scope,
            _digest.Week,
            _digest.AsOfOn,
            open.Count,
            [],
            [
                .. open.SelectMany(part => part.Persisting)
                    .OrderByDescending(line => line.Trend == PersistingTrend.New)
                    .ThenByDescending(line => line.Step)
                    .ThenByDescending(line => line.WeeksPast),
            ],
            [.. _alerts.Where(row => row.IsNew && openIds.Contains(row.Alert.ChildId)).Select(row => row.Alert)],
            [.. _alerts.Where(row => !row.IsOpen && ids.Contains(row.Alert.ChildId)).Select(row => row.Alert)],
            [.. open.SelectMany(part => part.DeadlinesPassed).OrderByDescending(line => line.WeeksPast)],
            [.. open.SelectMany(part => part.SecondLooksOverdue).OrderBy(line => line.ThroughOn)],
            [.. open.Select(part => part.Due).OfType<DigestDue>().OrderBy(line => line.VisitByOn)],
            [.. parts.SelectMany(part => part.Integrated)],
            [.. open.Select(part => part.NotVisited).OfType<DigestNotVisited>().OrderByDescending(line => line.Weeks)],
            [.. open.Where(part => part.IsWithoutClinician).Select(part => part.ChildId)],
            team
        );
        var mentioned = content.MentionedIds();
        return content with
        {
            Children =
            [
                .. parts
                    .Where(part => mentioned.Contains(part.ChildId))
                    .Select(part => new DigestChild(part.ChildId, part.Code, part.Name, clinicianOf(part.ClinicianId))),
            ],
        };
    }

    private DigestTeam TeamOf()
    {
        var openAlerts = _alerts.Where(row => row.IsOpen).ToLookup(row => row.Alert.ChildId, row => row.Alert.Severity);
        var groups = _parts.ToLookup(part => part.ClinicianId is { } id && _clinicians.ContainsKey(id) ? id : (Guid?)null);
        return new DigestTeam(
            TrendOf(_parts),
            [
                .. _clinicians
                    .OrderBy(pair => pair.Value, StringComparer.Ordinal)
                    .Select(pair => ((Guid?)pair.Key, pair.Value))
                    .Append((null, ""))
                    .Select(pair => TotalsOf(pair.Item1, pair.Item2, [.. groups[pair.Item1]], openAlerts))
                    .Where(totals => totals.Children > 0),
            ]
        );
    }

    private DigestTotals TotalsOf(Guid? clinicianId, string label, List<DigestChildPart> parts, ILookup<Guid, Concern> openAlerts)
    {
        var open = parts.Where(part => part.IsOpen).ToList();
        return new DigestTotals(
            clinicianId,
            label,
            open.Count,
            open.Sum(part => part.Persisting.Count),
            open.Sum(part => part.Trend[^1].Overdue),
            open.Count(part => part.NotVisited is not null),
            [
                .. open.SelectMany(part => openAlerts[part.ChildId])
                    .GroupBy(severity => severity)
                    .OrderByDescending(group => group.Key)
                    .Select(group => new DigestAlertCount(group.Key, group.Count())),
            ],
            TrendOf(parts)
        );
    }

    private DigestPoint[] TrendOf(IReadOnlyCollection<DigestChildPart> parts) =>
        [
            .. Enumerable
                .Range(0, TrendWeeks)
                .Select(index => new DigestPoint(
                    _rhythm.Before(_digest, TrendWeeks - 1 - index).Week,
                    parts.Sum(part => part.Trend[index].Persisting),
                    parts.Sum(part => part.Trend[index].Overdue)
                )),
        ];

    private sealed record AlertRow(DigestAlert Alert, bool IsNew, bool IsOpen);
}
