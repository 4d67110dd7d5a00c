using Caseload.Data;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Reports;

/// <summary>Reads what a child's report and the page for the family say; for handlers, inside their unit of work.</summary>
public static class ReportReading
{
    /// <summary>The report, or null when the person reaches no such child.</summary>
    public static async Task<ChildReport?> ReadAsync(
        CaseloadDbContext context,
        ReferenceLibrary library,
        Guid childId,
        Actor actor,
        DateTimeOffset now,
        CancellationToken ct
    )
    {
        var child = await context
            .Children.AsNoTracking()
            .AsSplitQuery()
            .Include(row => row.Clinician)
            .Include(row => row.Exclusions)
            .Include(row => row.Concerns)
            .Include(row => row.Alerts)
                .ThenInclude(alert => alert.Steps)
            .Include(row => row.Visits)
                .ThenInclude(visit => visit.Clinician)
            .SingleOrDefaultAsync(row => row.Id == childId, ct);
        if (child is null)
        {
            return null;
        }
        var interpreter = await library.GetActiveAsync(context, ct);
        var recorded = await context
            .Findings.AsNoTracking()
            .Where(row => row.ChildId == childId)
            .OrderBy(row => row.RecordedAt)
            .ToListAsync(ct);
        var clinicians = await context.Clinicians.AsNoTracking().ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        var programme = await context.Programmes.Select(row => row.Name).SingleAsync(ct);
        var todayOn = DayOf(now, actor.TimeZone);
        var nextVisitOn = await context
            .PlannedVisits.Where(row => row.ChildId == childId && row.PlannedOn >= todayOn)
            .MinAsync(row => (DateOnly?)row.PlannedOn, ct);
        return Compose(child, recorded, interpreter, clinicians, (programme, nextVisitOn), actor, now);
    }

    private static ChildReport Compose(
        Child child,
        List<RecordedFinding> recorded,
        Interpreter interpreter,
        Dictionary<Guid, string> clinicians,
        (string Programme, DateOnly? NextVisitOn) known,
        Actor actor,
        DateTimeOffset now
    )
    {
        var todayOn = DayOf(now, actor.TimeZone);
        var asOfOn = child.ClosedOn < todayOn ? child.ClosedOn.Value : todayOn;
        var facts = child.ToFacts();
        var findings = recorded.ConvertAll(row => row.ToFinding());
        var standing = StandingFindings.Of(findings).ToList();
        var rows = recorded.ToDictionary(row => row.Id);
        var set = interpreter.Set;
        var holding = child.Exclusions.Where(row => row.ToExclusion().HoldsOn(asOfOn)).Select(row => row.Exclusion).ToHashSet();
        var results = interpreter.Interpret(facts, findings, asOfOn);
        return new ChildReport
        {
            ChildId = child.Id,
            Programme = known.Programme,
            Code = child.Code,
            Name = $"{child.GivenName} {child.FamilyName}",
            GivenName = child.GivenName,
            Language = child.Language,
            Birth = facts.Birth,
            AnchorOn = facts.Birth.AnchorOn(interpreter.Policy.CorrectBelowDays),
            Ages = ChildAges.Of(facts.Birth, asOfOn, interpreter.Policy),
            IsClosed = child.ClosedOn <= todayOn,
            Clinician = child.Clinician?.Name,
            Exclusions = [.. child.Exclusions.OrderByDescending(row => row.FromOn).Select(row => ExclusionWords(row, asOfOn))],
            RuledOut = set.Items.Where(item => DueRule.IsRuledOut(item, holding)).Select(item => item.Id).ToHashSet(StringComparer.Ordinal),
            NextVisitOn = known.NextVisitOn,
            Concerns =
            [
                .. child
                    .Concerns.Where(row => row.ResolvedOn is null)
                    .Select(row => set.Concerns.FirstOrDefault(concern => concern.Id == row.Concern)?.Name ?? row.Concern),
            ],
            Results = [.. results.OrderByDescending(result => result.Verdict.Concern)],
            Standing = standing,
            Findings =
            [
                .. standing
                    .OrderByDescending(finding => finding.ObservedOn)
                    .ThenBy(finding => finding.Item, StringComparer.Ordinal)
                    .Select(finding => FindingOf(finding, set, rows[finding.Id].RecordedById, clinicians)),
            ],
            Alerts =
            [
                .. child
                    .Alerts.OrderBy(alert => alert.ClosedAt is not null)
                    .ThenByDescending(alert => alert.Severity)
                    .ThenByDescending(alert => alert.RaisedAt)
                    .Select(alert => AlertOf(alert, set, actor.TimeZone)),
            ],
            Visits =
            [
                .. child
                    .Visits.Where(visit => visit.FinishedAt is not null)
                    .OrderByDescending(visit => visit.VisitedOn)
                    .Select(visit => new ReportVisit(
                        visit.VisitedOn,
                        visit.Clinician?.Name,
                        visit.Place,
                        standing.Count(finding => rows[finding.Id].VisitId == visit.Id)
                    )),
            ],
            Sources = SourcesOf(results, set),
            SetKey = set.Key,
            MadeBy = actor.DisplayName,
            MadeAt = TimeZoneInfo.ConvertTime(now, actor.TimeZone),
        };
    }

    private static string ExclusionWords(RecordedExclusion row, DateOnly on)
    {
        var words = $"{Labels.Of(row.Exclusion)}, from {Dates.Full(row.FromOn)}";
        return row.ThroughOn is { } throughOn ? $"{words} to {Dates.Full(throughOn)}"
            : row.ToExclusion().HoldsOn(on) ? words + ", still holds"
            : words;
    }

    private static ReportFinding FindingOf(Finding finding, ReferenceSet set, Guid? recordedById, Dictionary<Guid, string> clinicians) =>
        new(
            finding.ObservedOn,
            set.Find(finding.Item)?.Name ?? finding.Item,
            Labels.Of(finding.Side),
            finding.Response is { } response ? Labels.Of(response)
                : finding.NotTested is { } reason ? "Not tested: " + Labels.Of(reason).ToLowerInvariant()
                : "Not tested",
            finding.State is { } state ? Labels.Of(state) : null,
            recordedById is { } id ? clinicians.GetValueOrDefault(id) : null,
            finding.CorrectionReason
        );

    private static ReportAlert AlertOf(Alert alert, ReferenceSet set, TimeZoneInfo zone) =>
        new(
            AlertPhrases.Title(alert.Kind, alert.Step, alert.Item, set),
            alert.Severity,
            alert.RaisedOn,
            alert.ClosedAt is not null,
            alert.ClosedBecause is { } because
                ? $"Closed on {Dates.Full(DayOf(alert.ClosedAt!.Value, zone))}: {AlertPhrases.Of(because).ToLowerInvariant()}"
                : AlertText.Of(alert.State),
            [
                .. alert
                    .Steps.OrderBy(step => step.At)
                    .ThenBy(step => step.Id)
                    .Where(step => step.What != AlertStepKind.Closed)
                    .Select(step => new ReportStep(step.On ?? DayOf(step.At, zone), AlertPhrases.Of(step.What), step.Who, step.Note)),
            ]
        );

    private static List<ReferenceSource> SourcesOf(IEnumerable<ItemResult> results, ReferenceSet set)
    {
        var named = results
            .Where(result => result.Verdict.Concern > Concern.None)
            .SelectMany(result => result.Reasons.SelectMany(reason => reason.Sources))
            .ToHashSet(StringComparer.Ordinal);
        return [.. set.Sources.Where(source => named.Contains(source.Key)).OrderBy(source => source.Key, StringComparer.Ordinal)];
    }

    private static DateOnly DayOf(DateTimeOffset at, TimeZoneInfo zone) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, zone).DateTime);
}
