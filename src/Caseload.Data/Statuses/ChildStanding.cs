using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;

namespace Caseload.Data.Statuses;

/// <summary>Everything of a child that its statuses and alerts follow from.</summary>
/// <param name="Child">The child.</param>
/// <param name="Findings">What was recorded, corrections and withdrawals included; for a part of the items, those of these items.</param>
/// <param name="Exclusions">What keeps items from being tested, past and future spans included.</param>
/// <param name="Signs">Signs of the urgent list that are not settled.</param>
/// <param name="LastVisitOn">The day of the last finished visit.</param>
public sealed record ChildRecord(
    Child Child,
    IReadOnlyCollection<Finding> Findings,
    IReadOnlyCollection<ChildExclusion> Exclusions,
    IReadOnlyCollection<RecordedSign> Signs,
    DateOnly? LastVisitOn
);

/// <summary>The rules by which statuses and alerts are worked out.</summary>
/// <param name="Interpreter">The reference set and the review policy.</param>
/// <param name="AlertPolicy">The programme's numbers for alerts.</param>
public sealed record StandingRules(Interpreter Interpreter, AlertPolicy AlertPolicy);

/// <summary>Where a child stands on a day: the rows and the alerts that its record asks for. Pure.</summary>
/// <remarks>
/// A closed case is told as of the day it was closed, and asks for nothing more. Before the programme takes a child on there are statuses and no
/// alerts.
/// </remarks>
public sealed class ChildStanding
{
    private readonly ChildRecord _record;
    private readonly StandingRules _rules;
    private readonly DateOnly _asOfOn;
    private readonly ILookup<string, Finding> _standing;

    private ChildStanding(ChildRecord record, StandingRules rules, DateOnly asOfOn)
    {
        _record = record;
        _rules = rules;
        IsClosed = record.Child.ClosedOn <= asOfOn;
        _asOfOn = IsClosed ? record.Child.ClosedOn!.Value : asOfOn;
        _standing = StandingFindings.Of(record.Findings).ToLookup(finding => finding.Item);
    }

    /// <summary>Whether the case is closed.</summary>
    public bool IsClosed { get; }

    private bool IsFollowed => !IsClosed && _record.Child.EnrolledOn <= _asOfOn;

    /// <summary>The rows of the items asked for.</summary>
    public List<ItemStatus> Rows { get; } = [];

    /// <summary>The row of the whole child.</summary>
    public required ChildStatus Whole { get; init; }

    /// <summary>The alerts that the items asked for and the whole child give rise to.</summary>
    public List<WantedAlert> Wanted { get; } = [];

    /// <summary>Works it out.</summary>
    /// <param name="record">The child.</param>
    /// <param name="rules">The rules.</param>
    /// <param name="asOfOn">The day of the question.</param>
    /// <param name="items">Ids of the items to work out; null for all.</param>
    /// <param name="hasWhole">Whether alerts about the whole child are asked for.</param>
    public static ChildStanding Of(
        ChildRecord record,
        StandingRules rules,
        DateOnly asOfOn,
        IReadOnlySet<string>? items = null,
        bool hasWhole = true
    )
    {
        var standing = new ChildStanding(record, rules, asOfOn) { Whole = WholeOf(record, rules.AlertPolicy, asOfOn) };
        standing.AddItems(items);
        if (hasWhole && standing.IsFollowed)
        {
            standing.AddWhole();
        }
        return standing;
    }

    /// <summary>Why an alert is raised, in words and with the sources of the figures.</summary>
    public IReadOnlyList<AlertReason> ReasonsOf(WantedAlert wanted)
    {
        switch (wanted.Call.Kind)
        {
            case AlertKind.Unassigned:
                return [new AlertReason("No clinician is responsible for the child.", [])];
            case AlertKind.NotVisited:
                return
                [
                    new AlertReason(
                        _record.LastVisitOn is { } visitedOn
                            ? $"The last visit was on {visitedOn:yyyy-MM-dd}."
                            : $"There was no visit since the programme took the child on, on {_record.Child.EnrolledOn:yyyy-MM-dd}.",
                        []
                    ),
                    new AlertReason($"The programme wants a visit at least every {_rules.AlertPolicy.NotVisitedWeeks} weeks.", []),
                ];
            case AlertKind.UrgentSign:
                return [new AlertReason($"Seen on {DateOnly.FromDayNumber(wanted.Call.Since):yyyy-MM-dd}.", [])];
            default:
                var interpreter = _rules.Interpreter;
                var childDays = DaysOf(_record.Child);
                Span<int> days = stackalloc int[interpreter.Windows.DayCount];
                interpreter.Windows.FillDays(childDays, days);
                var window = interpreter.Windows.WindowOf(wanted.Index, childDays, days);
                return
                [
                    .. interpreter
                        .Explain(wanted.Index, window, _standing[wanted.Item], childDays, _asOfOn)
                        .Reasons.Select(reason => new AlertReason(reason.Text, reason.Sources)),
                ];
        }
    }

    private void AddItems(IReadOnlySet<string>? items)
    {
        var interpreter = _rules.Interpreter;
        var childDays = DaysOf(_record.Child);
        Span<int> days = stackalloc int[interpreter.Windows.DayCount];
        interpreter.Windows.FillDays(childDays, days);
        var excluded = _record.Exclusions.Where(row => row.HoldsOn(_asOfOn)).Select(row => row.Exclusion).ToHashSet();
        for (var index = 0; index < interpreter.Windows.Count; index++)
        {
            var item = interpreter.Set.Items[index];
            if (items?.Contains(item.Id) == false)
            {
                continue;
            }
            var window = interpreter.Windows.WindowOf(index, childDays, days);
            var evidence = interpreter.EvidenceOf(index, _standing[item.Id]);
            var verdict = interpreter.Evaluate(index, window, evidence, childDays, _asOfOn.DayNumber);
            Rows.Add(RowOf(item.Id, window, verdict));
            if (IsFollowed && AlertRule.ForItem(verdict, DueRule.IsRuledOut(item, excluded), _asOfOn.DayNumber) is { } call)
            {
                Wanted.Add(new WantedAlert(item.Id, index, call));
            }
        }
    }

    private void AddWhole()
    {
        var child = _record.Child;
        if (AlertRule.ForAssignment(child.ClinicianId is not null, _asOfOn.DayNumber) is { } unassigned)
        {
            Wanted.Add(new WantedAlert(Alert.WholeChild, -1, unassigned));
        }
        if (AlertRule.ForContact(NotVisitedOn(_record, _rules.AlertPolicy), _asOfOn.DayNumber) is { } notVisited)
        {
            Wanted.Add(new WantedAlert(Alert.WholeChild, -1, notVisited));
        }
        foreach (var sign in _record.Signs.Where(sign => sign.SettledOn is null))
        {
            Wanted.Add(new WantedAlert(Domain.EnumWords.ToWord(sign.Sign), -1, AlertRule.ForSign(sign.SeenOn.DayNumber)));
        }
    }

    private ItemStatus RowOf(string item, in ItemWindow window, in ItemVerdict verdict)
    {
        var hasCheck = !IsClosed && verdict.Purpose != CheckPurpose.None;
        return new ItemStatus
        {
            ProgrammeId = _record.Child.ProgrammeId,
            ChildId = _record.Child.Id,
            Item = item,
            State = verdict.State,
            Step = verdict.Step,
            IsConfirmed = verdict.IsConfirmed,
            SinceOn = ItemWindow.ToDate(verdict.Since),
            Concern = verdict.Concern,
            ExpectedFromOn = DateOnly.FromDayNumber(window.ExpectedFrom),
            UsualFromOn = ItemWindow.ToDate(window.UsualFrom),
            UsualThroughOn = ItemWindow.ToDate(window.UsualThrough),
            LatestThroughOn = ItemWindow.ToDate(window.LatestThrough),
            CheckFromOn = hasCheck ? DateOnly.FromDayNumber(verdict.CheckFrom) : null,
            CheckThroughOn = hasCheck ? DateOnly.FromDayNumber(verdict.CheckThrough) : null,
            CheckPurpose = hasCheck ? verdict.Purpose : CheckPurpose.None,
            NextChangeOn = IsClosed
                ? null
                : Earlier(ItemWindow.ToDate(AlertRule.NextChangeOn(verdict, _asOfOn.DayNumber)), _record.Child.ClosedOn),
            ComputedForOn = _asOfOn,
            SetKey = _rules.Interpreter.Set.Key,
        };
    }

    private static ChildStatus WholeOf(ChildRecord record, AlertPolicy policy, DateOnly asOfOn)
    {
        var child = record.Child;
        var isClosed = child.ClosedOn <= asOfOn;
        DateOnly? nextOn = null;
        if (!isClosed)
        {
            nextOn = child.ClosedOn;
            Consider(DateOnly.FromDayNumber(NotVisitedOn(record, policy)));
            Consider(child.EnrolledOn);
            foreach (var exclusion in record.Exclusions)
            {
                Consider(exclusion.FromOn);
                if (exclusion.ThroughOn is { } throughOn)
                {
                    Consider(throughOn.AddDays(1));
                }
            }
        }
        return new ChildStatus
        {
            ProgrammeId = child.ProgrammeId,
            ChildId = child.Id,
            LastVisitOn = record.LastVisitOn,
            NextChangeOn = nextOn,
            ComputedForOn = isClosed ? child.ClosedOn!.Value : asOfOn,
        };

        void Consider(DateOnly on)
        {
            if (on > asOfOn)
            {
                nextOn = Earlier(nextOn, on);
            }
        }
    }

    private static int NotVisitedOn(ChildRecord record, AlertPolicy policy) =>
        AlertRule.NotVisitedOn(Math.Max(record.LastVisitOn?.DayNumber ?? 0, record.Child.EnrolledOn.DayNumber), policy.NotVisitedWeeks);

    private ChildDays DaysOf(Child child)
    {
        var facts = child.ToFacts();
        return ChildDays.Of(facts.Birth, _rules.Interpreter.Policy, facts.FollowedFromOn);
    }

    private static DateOnly? Earlier(DateOnly? one, DateOnly? other) => one is null || other < one ? other ?? one : one;
}
