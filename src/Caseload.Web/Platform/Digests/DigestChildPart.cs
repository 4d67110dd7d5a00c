using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Digests;

/// <summary>The days that a digest asks about.</summary>
/// <param name="AsOfOn">The day it is meant for.</param>
/// <param name="TrendOn">The digest days of twelve weeks, oldest first; the last is <paramref name="AsOfOn"/>.</param>
internal sealed record DigestDays(DateOnly AsOfOn, IReadOnlyList<DateOnly> TrendOn)
{
    /// <summary>How far the digest looks ahead and back; the day of the next digest still belongs to the coming week.</summary>
    internal const int Week = 7;

    internal DateOnly ThroughOn => AsOfOn.AddDays(Week);

    internal DateOnly BeforeOn => AsOfOn.AddDays(-Week);
}

/// <summary>What a digest says of one child. Pure: the rules are the interpreter's, the alert rule's and the due rule's.</summary>
internal sealed class DigestChildPart
{
    private readonly Child _child;
    private readonly ChildCourse _course;
    private readonly IReadOnlyCollection<ChildExclusion> _exclusions;
    private readonly IReadOnlyList<ReferenceItem> _items;
    private readonly DigestDays _days;

    private DigestChildPart(
        Child child,
        ChildCourse course,
        IReadOnlyCollection<ChildExclusion> exclusions,
        IReadOnlyList<ReferenceItem> items,
        DigestDays days
    )
    {
        _child = child;
        _course = course;
        _exclusions = exclusions;
        _items = items;
        _days = days;
    }

    internal Guid ChildId => _child.Id;
    internal string Code => _child.Code;
    internal Guid? ClinicianId => _child.ClinicianId;

    /// <summary>Whether the case is open on the digest's day.</summary>
    internal bool IsOpen => IsOpenOn(_days.AsOfOn);

    /// <summary>Whether a clinician is missing.</summary>
    internal bool IsWithoutClinician =>
        IsOpen && _child.EnrolledOn <= _days.AsOfOn && AlertRule.ForAssignment(ClinicianId is not null, _days.AsOfOn.DayNumber) is not null;

    internal required string Name { get; init; }
    internal List<DigestPersisting> Persisting { get; } = [];
    internal List<DigestDeadline> DeadlinesPassed { get; } = [];
    internal List<DigestSecondLook> SecondLooksOverdue { get; } = [];
    internal List<DigestIntegrated> Integrated { get; } = [];
    internal DigestDue? Due { get; private set; }
    internal DigestNotVisited? NotVisited { get; private set; }

    /// <summary>Persisting responses and overdue checks on each day of the trend.</summary>
    internal (int Persisting, int Overdue)[] Trend { get; private set; } = [];

    /// <summary>Works it out.</summary>
    internal static DigestChildPart Of(
        Child child,
        ChildCourse course,
        IReadOnlyCollection<ChildExclusion> exclusions,
        DateOnly? lastVisitOn,
        IReadOnlyList<ReferenceItem> items,
        DigestDays days,
        AlertPolicy policy
    )
    {
        var part = new DigestChildPart(child, course, exclusions, items, days)
        {
            Name = MailName.Of(child.Code, child.GivenName, child.FamilyName, policy.MailNaming),
        };
        part.AddIntegrated();
        part.Trend = [.. days.TrendOn.Select(part.CountOn)];
        if (part.IsOpen)
        {
            part.AddStanding();
            part.AddDue();
            part.NotVisited = part.FindNotVisited(lastVisitOn, policy.NotVisitedWeeks);
        }
        return part;
    }

    private void AddIntegrated()
    {
        // A closed case is told as of the day it was closed.
        var on = _child.ClosedOn < _days.AsOfOn ? _child.ClosedOn.Value : _days.AsOfOn;
        for (var item = 0; item < _items.Count; item++)
        {
            var verdict = _course.On(item, on);
            if (
                verdict.State == ItemState.Integrated
                && ItemWindow.ToDate(verdict.Since) is { } sinceOn
                && sinceOn > _days.BeforeOn
                && sinceOn <= _days.AsOfOn
            )
            {
                Integrated.Add(new DigestIntegrated(ChildId, _items[item].Name, sinceOn));
            }
        }
    }

    private void AddStanding()
    {
        var asOf = _days.AsOfOn.DayNumber;
        var holding = HoldingOn(_days.AsOfOn);
        for (var item = 0; item < _items.Count; item++)
        {
            var verdict = _course.On(item, _days.AsOfOn);
            var name = _items[item].Name;
            var weeksPast = (asOf - _course.WindowOf(item).UsualThrough) / DigestDays.Week;
            switch (AlertRule.ForItem(verdict, DueRule.IsRuledOut(_items[item], holding), asOf)?.Kind)
            {
                case AlertKind.Persisting:
                    Persisting.Add(
                        new DigestPersisting(
                            ChildId,
                            name,
                            verdict.Step,
                            ItemWindow.ToDate(verdict.Since),
                            weeksPast,
                            _course.TrendOf(item, _days.AsOfOn)!.Value
                        )
                    );
                    break;
                case AlertKind.DeadlinePassed:
                    DeadlinesPassed.Add(new DigestDeadline(ChildId, name, weeksPast));
                    break;
                case AlertKind.ConfirmOverdue:
                    SecondLooksOverdue.Add(
                        new DigestSecondLook(ChildId, name, ItemWindow.ToDate(verdict.Since), DateOnly.FromDayNumber(verdict.CheckThrough))
                    );
                    break;
                default:
                    break;
            }
        }
    }

    private void AddDue()
    {
        var checks = new List<DigestCheck>();
        var moreCount = 0;
        foreach (var (item, verdict) in ChecksOn(_days.AsOfOn).Where(check => check.Verdict.CheckFrom <= _days.ThroughOn.DayNumber))
        {
            if (verdict.CheckThrough > _days.ThroughOn.DayNumber)
            {
                moreCount++;
                continue;
            }
            var throughOn = DateOnly.FromDayNumber(verdict.CheckThrough);
            checks.Add(new DigestCheck(item.Name, verdict.Purpose, throughOn, DueRule.IsOverdue(throughOn, _days.AsOfOn)));
        }
        if (checks.Count > 0)
        {
            checks.Sort((one, other) => (one.ThroughOn, one.Item).CompareTo((other.ThroughOn, other.Item)));
            Due = new DigestDue(ChildId, checks[0].ThroughOn, checks, moreCount);
        }
    }

    private DigestNotVisited? FindNotVisited(DateOnly? lastVisitOn, int weeks)
    {
        var lastContactOn = lastVisitOn > _child.EnrolledOn ? lastVisitOn.Value : _child.EnrolledOn;
        var asOf = _days.AsOfOn.DayNumber;
        return AlertRule.ForContact(AlertRule.NotVisitedOn(lastContactOn.DayNumber, weeks), asOf) is null
            ? null
            : new DigestNotVisited(ChildId, lastVisitOn, (asOf - lastContactOn.DayNumber) / DigestDays.Week);
    }

    private (int Persisting, int Overdue) CountOn(DateOnly on)
    {
        if (!IsOpenOn(on) || _child.EnrolledOn > on)
        {
            return (0, 0);
        }
        var persisting = 0;
        for (var item = 0; item < _items.Count; item++)
        {
            persisting += _course.On(item, on).State == ItemState.Persisting ? 1 : 0;
        }
        return (persisting, ChecksOn(on).Count(check => DueRule.IsOverdue(ItemWindow.ToDate(check.Verdict.CheckThrough), on)));
    }

    /// <summary>Planned checks that no condition of the child rules out.</summary>
    private IEnumerable<(ReferenceItem Item, ItemVerdict Verdict)> ChecksOn(DateOnly on)
    {
        var holding = HoldingOn(on);
        for (var item = 0; item < _items.Count; item++)
        {
            var verdict = _course.On(item, on);
            if (verdict.Purpose != CheckPurpose.None && !DueRule.IsRuledOut(_items[item], holding))
            {
                yield return (_items[item], verdict);
            }
        }
    }

    private bool IsOpenOn(DateOnly on) => _child.ClosedOn is null || _child.ClosedOn > on;

    private HashSet<Exclusion> HoldingOn(DateOnly on) => [.. _exclusions.Where(row => row.HoldsOn(on)).Select(row => row.Exclusion)];
}
