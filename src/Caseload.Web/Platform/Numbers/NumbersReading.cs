using Caseload.Data;
using Caseload.Data.Alerts;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Statistics;
using Caseload.Domain.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Numbers;

/// <summary>Every child with its findings, gathered so that the programme's numbers can be counted; for a handler, inside its unit of work.</summary>
public sealed class NumbersReading
{
    private const int CurveMonths = 24;
    private const double DaysOfMonth = 30.4375;
    private const int Resamples = 200;
    private const ulong Seed = 20261126;

    private readonly Interpreter _interpreter;
    private readonly DateOnly _todayOn;
    private readonly List<Case> _cases;

    private NumbersReading(Interpreter interpreter, DateOnly todayOn, List<Case> cases) =>
        (_interpreter, _todayOn, _cases) = (interpreter, todayOn, cases);

    /// <summary>Open cases.</summary>
    public int OpenCases => _cases.Count(row => row.ClosedOn is null);

    /// <summary>Items that give way, for which there is a time to integration.</summary>
    public IReadOnlyList<NumberItem> Items =>
        [.. _interpreter.Set.Items.Where(item => item.Course == ItemCourse.GivesWay).Select(item => new NumberItem(item.Id, item.Name))];

    /// <summary>Reads every child, closed cases included: leaving a programme must not take a child out of its history.</summary>
    public static async Task<NumbersReading> ReadAsync(
        CaseloadDbContext context,
        Interpreter interpreter,
        DateOnly todayOn,
        CancellationToken ct
    )
    {
        var findings = (await context.Findings.AsNoTracking().ToListAsync(ct)).ToLookup(row => row.ChildId, row => row.ToFinding());
        var exclusions = (await context.Exclusions.AsNoTracking().ToListAsync(ct)).ToLookup(row => row.ChildId, row => row.ToExclusion());
        var children = await context.Children.AsNoTracking().OrderBy(child => child.Code).ToListAsync(ct);
        return new NumbersReading(
            interpreter,
            todayOn,
            [
                .. children.Select(child => new Case(
                    ChildCourse.Of(interpreter, child.ToFacts(), [.. findings[child.Id]]),
                    child.GestationDays,
                    child.EnrolledOn,
                    child.ClosedOn,
                    [.. findings[child.Id]],
                    [.. exclusions[child.Id]]
                )),
            ]
        );
    }

    /// <summary>
    /// Usual deadlines that fell into the time: an item of a child who had been with the programme for two weeks, that no condition ruled out;
    /// counted when somebody had looked at it from the day it was expected on.
    /// </summary>
    public NumberShare LookedAtInTime(DateOnly sinceOn)
    {
        const int DaysToBegin = 14;
        var (count, total) = (0, 0);
        foreach (var row in _cases)
        {
            var lookedOn = row
                .Findings.Where(finding => finding.Response is not null)
                .ToLookup(finding => finding.Item, finding => finding.ObservedOn);
            foreach (var (index, item) in _interpreter.Set.Items.Index())
            {
                var window = row.Course.WindowOf(index);
                if (
                    ItemWindow.ToDate(window.UsualThrough) is not { } deadlineOn
                    || deadlineOn < sinceOn
                    || deadlineOn >= _todayOn
                    || row.EnrolledOn.AddDays(DaysToBegin) > deadlineOn
                    || row.ClosedOn <= deadlineOn
                    || _interpreter.RuleOf(index).IsUnscheduled
                    || DueRule.IsRuledOut(item, [.. row.Exclusions.Where(rule => rule.HoldsOn(deadlineOn)).Select(rule => rule.Exclusion)])
                )
                {
                    continue;
                }
                total++;
                count += lookedOn[item.Id].Any(on => on.DayNumber >= window.ExpectedFrom && on <= deadlineOn) ? 1 : 0;
            }
        }
        return new NumberShare(count, total);
    }

    /// <summary>When an item integrates, beside the published window; null when there is no such item. Refuses to draw under twenty children.</summary>
    public IntegrationCurve? CurveOf(string itemId, GestationGroup? group)
    {
        var (index, item) = _interpreter
            .Set.Items.Index()
            .FirstOrDefault(pair => pair.Item.Id == itemId && pair.Item.Course == ItemCourse.GivesWay);
        if (item is null)
        {
            return null;
        }
        var observations = _cases
            .Where(row => group is null || GroupOf(row.GestationDays) == group)
            .Select(row => IntegrationTimes.Of(row.Course, index, _todayOn))
            .OfType<EventInterval>()
            .Select(InMonths)
            .ToList();
        var (usualFrom, usualThrough) = (item.Rule.UsualFrom?.Months, item.Rule.UsualThrough?.Months);
        var drawn = IntegrationTimes.CurveOf(observations);
        if (!drawn.IsAccepted)
        {
            return new IntegrationCurve(item.Name, observations.Count, [], usualFrom, usualThrough, null, null);
        }
        var curve = drawn.Value;
        var months = Enumerable.Range(0, CurveMonths + 1).ToList();
        var bounds = curve.BoundsAt([.. months.Select(month => (double)month)], new Resampling(Seed, Resamples));
        return new IntegrationCurve(
            item.Name,
            observations.Count,
            [
                .. months.Select(month =>
                {
                    var share = curve.ShareReachedBy(month);
                    return new CurvePoint(month, share.Least, share.Most, bounds[month], curve.AtRisk(month));
                }),
            ],
            usualFrom,
            usualThrough,
            curve.Median?.After,
            curve.Median?.Through
        );
    }

    /// <summary>Days from referral to the first visit, of children taken on within a year.</summary>
    public static async Task<NumberMedian> ReferralToVisitAsync(CaseloadDbContext context, DateOnly todayOn, CancellationToken ct)
    {
        var since = todayOn.AddYears(-1);
        var rows = await context
            .Children.AsNoTracking()
            .Where(child => child.EnrolledOn >= since && child.ReferredOn != null)
            .Select(child => new
            {
                ReferredOn = child.ReferredOn!.Value,
                FirstOn = child.Visits.Where(visit => visit.FinishedAt != null).Min(visit => (DateOnly?)visit.VisitedOn),
            })
            .ToListAsync(ct);
        var days = rows.Where(row => row.FirstOn >= row.ReferredOn)
            .Select(row => row.FirstOn!.Value.DayNumber - row.ReferredOn.DayNumber)
            .ToList();
        return new NumberMedian(Median.Of(days), days.Count);
    }

    /// <summary>Days until an alert was first answered, of those raised since a day.</summary>
    public static async Task<NumberMedian> DaysToAnswerAsync(CaseloadDbContext context, DateOnly sinceOn, CancellationToken ct)
    {
        AlertStepKind[] answers =
        [
            AlertStepKind.Acknowledged,
            AlertStepKind.Rechecked,
            AlertStepKind.ToldFamily,
            AlertStepKind.ToldPhysician,
            AlertStepKind.Referred,
            AlertStepKind.Other,
            AlertStepKind.SetAside,
        ];
        var rows = await context
            .Alerts.AsNoTracking()
            .Where(alert => alert.RaisedOn >= sinceOn)
            .Select(alert => new
            {
                alert.RaisedAt,
                AnsweredAt = alert.Steps.Where(step => answers.Contains(step.What)).Min(step => (DateTimeOffset?)step.At),
            })
            .Where(alert => alert.AnsweredAt != null)
            .ToListAsync(ct);
        return new NumberMedian(Median.Of(rows.Select(row => (int)(row.AnsweredAt!.Value - row.RaisedAt).TotalDays)), rows.Count);
    }

    /// <summary>Alerts raised since a day that were answered, or closed by themselves, before anybody had to be told; those still in time are left out.</summary>
    public static async Task<NumberShare> AnsweredInTimeAsync(CaseloadDbContext context, DateOnly sinceOn, CancellationToken ct)
    {
        var settled = context.Alerts.Where(alert =>
            alert.RaisedOn >= sinceOn && (alert.EscalatedAt != null || alert.State != AlertState.Open)
        );
        var total = await settled.CountAsync(ct);
        return new NumberShare(await settled.CountAsync(alert => alert.EscalatedAt == null, ct), total);
    }

    /// <summary>How two clinicians who visited a child on the same day agree, item by item; of sides the stronger counts.</summary>
    public static async Task<IReadOnlyList<RaterAgreement>> AgreementsAsync(
        CaseloadDbContext context,
        Interpreter interpreter,
        CancellationToken ct
    )
    {
        var looks = await context
            .Findings.AsNoTracking()
            .Where(row => row.Response != null && row.CorrectsId == null)
            .Join(
                context.Visits.Where(visit => visit.FinishedAt != null && visit.ClinicianId != null),
                row => row.VisitId,
                visit => visit.Id,
                (row, visit) =>
                    new
                    {
                        row.ChildId,
                        row.Item,
                        row.ObservedOn,
                        Response = row.Response!.Value,
                        visit.ClinicianId,
                    }
            )
            .ToListAsync(ct);
        var pairs = looks
            .GroupBy(row => (row.ChildId, row.Item, row.ObservedOn))
            .Select(group => (group.Key.Item, Raters: group.GroupBy(row => row.ClinicianId).OrderBy(rater => rater.Key).ToList()))
            .Where(group => group.Raters.Count == 2)
            .Select(group =>
                (
                    group.Item,
                    One: Strongest(group.Raters[0].Select(row => row.Response)),
                    Other: Strongest(group.Raters[1].Select(row => row.Response))
                )
            )
            .ToLookup(pair => pair.Item);
        return
        [
            .. interpreter
                .Set.Items.Where(item => pairs.Contains(item.Id))
                .Select(item =>
                {
                    var size = item.Course == ItemCourse.Emerges ? 3 : 5;
                    var table = AgreementTable.Of(
                        size,
                        pairs[item.Id].Select(pair => (Math.Min(pair.One, size - 1), Math.Min(pair.Other, size - 1)))
                    );
                    return new RaterAgreement(item.Name, WeightedKappa.Of(table, AgreementWeights.Linear(size)));
                }),
        ];
    }

    private static EventInterval InMonths(EventInterval days) => new(days.After / DaysOfMonth, days.Through / DaysOfMonth);

    private static int Strongest(IEnumerable<Response> responses) => responses.Max(response => (int)DayEvidence.GradeOf(response));

    private static GestationGroup? GroupOf(int? gestationDays) =>
        gestationDays switch
        {
            null => null,
            < 32 * 7 => GestationGroup.VeryPreterm,
            < 37 * 7 => GestationGroup.Preterm,
            _ => GestationGroup.Term,
        };

    private sealed record Case(
        ChildCourse Course,
        int? GestationDays,
        DateOnly EnrolledOn,
        DateOnly? ClosedOn,
        IReadOnlyList<Finding> Findings,
        IReadOnlyList<ChildExclusion> Exclusions
    );
}
