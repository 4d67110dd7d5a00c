using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using NodaTime;

namespace Caseload.Benchmarks;

/// <summary>A child as the plain engine knows it.</summary>
internal sealed record PlainChild(LocalDate Born, int? GestationDays, LocalDate? FollowedFrom)
{
    /// <summary>Born before the policy's limit, and never from 40 weeks on: months count from the expected date.</summary>
    internal LocalDate Anchor(ReviewPolicy policy) =>
        GestationDays is { } days && days < policy.CorrectBelowDays && days < 280 ? Born.PlusDays(280 - days) : Born;
}

/// <summary>What one day showed of one item: the strongest response of each side that counts; null where none does.</summary>
internal sealed record PlainLook(LocalDate On, int? Left, int? Right)
{
    internal int Strongest => Math.Max(Left ?? 0, Right ?? 0);

    internal bool IsSeen => Strongest > 0;

    /// <summary>One side alone is enough to see a response, but not to call it absent.</summary>
    internal bool Counts => IsSeen || (Left == 0 && Right == 0);

    internal bool HasBothSides => Left is not null && Right is not null;

    internal bool SidesDiffer => Left is { } left && Right is { } right && (Math.Abs(left - right) >= 2 || (left == 0) != (right == 0));

    internal bool IsComplete => Left == 2 && Right == 2;
}

/// <summary>The dates of one item for one child; null where the item has no such date.</summary>
internal sealed record PlainWindow(
    LocalDate ExpectedFrom,
    LocalDate UsualFrom,
    LocalDate? UsualThrough,
    LocalDate? Latest,
    LocalDate? AbsenceFrom,
    LocalDate? AbsenceThrough,
    LocalDate? PartialThrough,
    LocalDate? EndsFrom,
    LocalDate? EndsThrough
);

/// <summary>The next check.</summary>
internal sealed record PlainCheck(LocalDate From, LocalDate Through, CheckPurpose Purpose);

/// <summary>Where the child stands with the item.</summary>
internal sealed record PlainStanding(ItemState State, int Step = 0, bool IsConfirmed = false)
{
    internal LocalDate? Since { get; init; }

    internal LocalDate? NextChange { get; init; }
}

/// <summary>The whole answer for one item.</summary>
internal sealed record PlainResult(PlainWindow Window, PlainStanding Standing, PlainCheck? NextCheck, Concern Concern);

/// <summary>
/// The rules a second time, written from their description with calendar dates and lists, to check the batch path and to measure it.
/// </summary>
internal sealed class PlainNodaTimeEngine(ReviewPolicy policy)
{
    /// <summary>Puts an item's findings together by day; findings in an unsuitable state and tests not done show nothing.</summary>
    internal static List<PlainLook> Gather(ReferenceItem item, IEnumerable<Finding> findings) =>
        [
            .. findings
                .GroupBy(finding => finding.ObservedOn)
                .OrderBy(day => day.Key)
                .Select(day =>
                {
                    var counting = day.Where(finding =>
                            finding.Response is not null && (finding.State is not { } state || item.Suits(state))
                        )
                        .ToList();
                    return new PlainLook(
                        LocalDate.FromDateOnly(day.Key),
                        StrongestOn(item, counting, Side.Left),
                        StrongestOn(item, counting, Side.Right)
                    );
                }),
        ];

    /// <summary>Answers for one item.</summary>
    internal PlainResult Assess(ReferenceItem item, PlainChild child, List<PlainLook> looks, LocalDate on)
    {
        var window = WindowOf(item.Rule, child);
        var known = looks.FindAll(look => look.On <= on);
        var counting = known.FindAll(look => look.Counts);
        var standing =
            item.Course == ItemCourse.Emerges
                ? StandingOfEmerging(window, counting, on)
                : StandingOfReflex(item.Course, child, window, counting, on);
        if (item.Optional && !policy.ScheduleOptionalItems && counting.Count == 0)
        {
            return new PlainResult(window, standing, null, Concern.None);
        }
        return new PlainResult(window, standing, NextCheck(item.Course, child, window, standing, known, counting), ConcernOf(standing));
    }

    private static int? StrongestOn(ReferenceItem item, List<Finding> findings, Side side)
    {
        int? strongest = null;
        foreach (var finding in findings)
        {
            if (finding.Side == side || finding.Side == Side.Both || item.Sided == Sidedness.None)
            {
                var grade = ((IList<Response>)item.Responses).IndexOf(finding.Response!.Value);
                strongest = Math.Max(strongest ?? 0, grade);
            }
        }
        return strongest;
    }

    private PlainWindow WindowOf(ItemRuleFigures rule, PlainChild child)
    {
        var anchor = child.Anchor(policy);
        var onset = rule.Onset.Unit switch
        {
            OnsetUnit.PmaWeeks => child.Born.PlusDays(-(child.GestationDays ?? 280)).PlusWeeks(rule.Onset.From),
            OnsetUnit.CorrectedMonths => anchor.PlusMonths(rule.Onset.From),
            _ => anchor,
        };
        var expectedFrom = LocalDate.Max(onset, child.Born);
        return new PlainWindow(
            expectedFrom,
            rule.UsualFrom is { } from ? anchor.PlusMonths(from.Months) : expectedFrom,
            Plus(rule.UsualThrough?.Months),
            Plus(rule.Latest?.Months),
            Plus(rule.Absence?.FromMonths),
            Plus(rule.Absence?.ThroughMonths),
            Plus(rule.PartialAcceptedThrough?.Months),
            Plus(rule.Ends?.FromMonths),
            Plus(rule.Ends?.ThroughMonths)
        );

        LocalDate? Plus(int? months) => months is { } known ? anchor.PlusMonths(known) : null;
    }

    private PlainStanding StandingOfReflex(ItemCourse course, PlainChild child, PlainWindow window, List<PlainLook> counting, LocalDate on)
    {
        var graceEnd = window.UsualThrough?.PlusDays(policy.GraceDays);
        if (counting.Count == 0)
        {
            return ByDate(window, graceEnd, on);
        }
        var runs = RunsOf(counting);
        var last = runs[^1];
        return last[0].IsSeen
            ? StandingOfSeenReflex(course, child, window, runs, counting, graceEnd, on)
            : StandingOfAbsentReflex(course, child, window, last, runs.Count > 1, graceEnd, on);
    }

    private PlainStanding StandingOfAbsentReflex(
        ItemCourse course,
        PlainChild child,
        PlainWindow window,
        List<PlainLook> absences,
        bool wasSeen,
        LocalDate? graceEnd,
        LocalDate on
    )
    {
        var goes = course == ItemCourse.GivesWay ? AbsencesTowardsIntegration(child, window, absences, wasSeen) : [];
        if (SecondAbsence(goes) is { } second)
        {
            return new PlainStanding(ItemState.Integrated) { Since = second.On };
        }
        var alarming = absences.FindAll(look => window.AbsenceFrom <= look.On && look.On <= window.AbsenceThrough);
        if (alarming.Count > 0)
        {
            return new PlainStanding(ItemState.AbsentWhenExpected, IsConfirmed: alarming.Count > 1) { Since = alarming[0].On };
        }
        return goes.Count > 0 ? new PlainStanding(ItemState.AwaitingConfirmation) { Since = goes[0].On } : ByDate(window, graceEnd, on);
    }

    private PlainStanding StandingOfSeenReflex(
        ItemCourse course,
        PlainChild child,
        PlainWindow window,
        List<List<PlainLook>> runs,
        List<PlainLook> counting,
        LocalDate? graceEnd,
        LocalDate on
    )
    {
        var sightings = runs[^1];
        var last = sightings[^1];
        if (course == ItemCourse.GivesWay)
        {
            for (var index = runs.Count - 2; index >= 0; index--)
            {
                var wasIntegrated =
                    !runs[index][0].IsSeen && SecondAbsence(AbsencesTowardsIntegration(child, window, runs[index], index > 0)) is not null;
                if (wasIntegrated)
                {
                    return new PlainStanding(ItemState.Returned) { Since = runs[index + 1][0].On };
                }
            }
        }
        if (last.Strongest == 4)
        {
            var freeBefore = sightings.FindLastIndex(look => look.Strongest < 4);
            return new PlainStanding(ItemState.Obligatory) { Since = sightings[freeBefore + 1].On };
        }
        if (OneSidedSince(sightings) is { } differsSince)
        {
            return new PlainStanding(ItemState.OneSided) { Since = differsSince };
        }
        if (sightings.Find(look => look.On > graceEnd) is { } persistent)
        {
            var limit = window.Latest is { } latest ? LocalDate.Max(latest, graceEnd!.Value) : (LocalDate?)null;
            return new PlainStanding(ItemState.Persisting, last.On > limit ? 2 : 1) { Since = persistent.On };
        }
        if (graceEnd is not { } end)
        {
            return new PlainStanding(ItemState.PresentAsExpected) { Since = sightings[0].On };
        }
        if (on > end)
        {
            return new PlainStanding(ItemState.DeadlinePassedUnchecked) { Since = end.PlusDays(1) };
        }
        var isFading = last.Strongest == 1 && (last.On >= window.UsualFrom || counting.Exists(look => look.Strongest > 1));
        return isFading
            ? new PlainStanding(ItemState.Fading) { Since = last.On, NextChange = end.PlusDays(1) }
            : new PlainStanding(ItemState.PresentAsExpected) { Since = sightings[0].On, NextChange = end.PlusDays(1) };
    }

    /// <summary>
    /// Absences of one run that can make it integrated: from the expected age and the expected date on, after the ages at which
    /// absence is a finding of its own, and for a response never seen only once it usually goes.
    /// </summary>
    private List<PlainLook> AbsencesTowardsIntegration(PlainChild child, PlainWindow window, List<PlainLook> absences, bool wasSeen)
    {
        var alarming = absences.FindLastIndex(look => window.AbsenceFrom <= look.On && look.On <= window.AbsenceThrough);
        var anchor = child.Anchor(policy);
        return absences
            .GetRange(alarming + 1, absences.Count - alarming - 1)
            .FindAll(look => look.On >= window.ExpectedFrom && look.On >= anchor && (wasSeen || look.On >= window.UsualFrom));
    }

    private PlainLook? SecondAbsence(List<PlainLook> absences) =>
        absences.Find(look => Period.DaysBetween(absences[0].On, look.On) >= policy.ConfirmAfterDays);

    private PlainStanding StandingOfEmerging(PlainWindow window, List<PlainLook> counting, LocalDate on)
    {
        var graceEnd = window.UsualThrough!.Value.PlusDays(policy.GraceDays);
        if (counting.Count == 0)
        {
            return ByDate(window, graceEnd, on);
        }
        var limit = window.Latest is { } latest ? LocalDate.Max(latest, graceEnd) : (LocalDate?)null;
        var last = RunsOf(counting)[^1];
        var lastComplete = counting.FindLast(look => look.IsComplete);
        return last[0].IsSeen
            ? StandingOfSeenReaction(window, last, lastComplete is not null, graceEnd, limit, on)
            : StandingOfAbsentReaction(window, last, lastComplete is not null, graceEnd, limit, on);
    }

    private PlainStanding StandingOfAbsentReaction(
        PlainWindow window,
        List<PlainLook> absences,
        bool wasComplete,
        LocalDate graceEnd,
        LocalDate? limit,
        LocalDate on
    )
    {
        // An absence before the span in which it usually fades stands as a loss or a delay, and only the end of that span settles it.
        var concerning = absences.FindAll(look => !(look.On >= window.EndsFrom) && (wasComplete || look.On > graceEnd));
        var fading = absences.FindAll(look => look.On >= window.EndsFrom && (concerning.Count == 0 || look.On > window.EndsThrough));
        if (fading.Count > 0)
        {
            return SecondAbsence(fading) is { } second
                ? new PlainStanding(ItemState.Integrated) { Since = second.On }
                : new PlainStanding(ItemState.AwaitingConfirmation) { Since = fading[0].On };
        }
        if (concerning.Count == 0)
        {
            return ByDate(window, graceEnd, on);
        }
        var since = concerning[0].On;
        if (wasComplete)
        {
            return new PlainStanding(ItemState.AbsentWhenExpected, IsConfirmed: absences.Count > 1) { Since = since };
        }
        return new PlainStanding(ItemState.Late, absences[^1].On > limit ? 2 : 1) { Since = since };
    }

    private static PlainStanding StandingOfSeenReaction(
        PlainWindow window,
        List<PlainLook> sightings,
        bool wasComplete,
        LocalDate graceEnd,
        LocalDate? limit,
        LocalDate on
    )
    {
        var last = sightings[^1];
        if (OneSidedSince(sightings) is { } differsSince)
        {
            return new PlainStanding(ItemState.OneSided) { Since = differsSince };
        }
        var otherBefore = sightings.FindLastIndex(look => look.IsComplete != last.IsComplete);
        var alike = sightings.GetRange(otherBefore + 1, sightings.Count - otherBefore - 1);
        if (last.IsComplete)
        {
            return new PlainStanding(ItemState.Established) { Since = alike[0].On };
        }
        if (wasComplete)
        {
            return new PlainStanding(ItemState.Emerging) { Since = alike[0].On };
        }
        var partAccepted =
            window.PartialThrough is not { } part ? limit
            : limit is { } end ? LocalDate.Max(part, end)
            : part;
        if (alike.Find(look => look.On > partAccepted) is { } tooLate)
        {
            return new PlainStanding(ItemState.Late, 1) { Since = tooLate.On };
        }
        var lapsesAfter = last.On > window.UsualThrough ? partAccepted : graceEnd;
        return on > lapsesAfter
            ? new PlainStanding(ItemState.DeadlinePassedUnchecked) { Since = lapsesAfter.Value.PlusDays(1) }
            : new PlainStanding(ItemState.Emerging) { Since = alike[0].On, NextChange = lapsesAfter?.PlusDays(1) };
    }

    private static PlainStanding ByDate(PlainWindow window, LocalDate? graceEnd, LocalDate on)
    {
        if (on < window.ExpectedFrom)
        {
            return new PlainStanding(ItemState.NotYetExpected) { NextChange = window.ExpectedFrom };
        }
        return on > graceEnd
            ? new PlainStanding(ItemState.DeadlinePassedUnchecked) { Since = graceEnd.Value.PlusDays(1) }
            : new PlainStanding(ItemState.ExpectedNotYetSeen) { Since = window.ExpectedFrom, NextChange = graceEnd?.PlusDays(1) };
    }

    /// <summary>Splits the looks into runs of sightings and runs of absences.</summary>
    private static List<List<PlainLook>> RunsOf(List<PlainLook> counting)
    {
        var runs = new List<List<PlainLook>>();
        foreach (var look in counting)
        {
            if (runs.Count == 0 || runs[^1][0].IsSeen != look.IsSeen)
            {
                runs.Add([]);
            }
            runs[^1].Add(look);
        }
        return runs;
    }

    /// <summary>Since when the sides differ at every look at both of them; null when they did not differ at the last such look.</summary>
    private static LocalDate? OneSidedSince(List<PlainLook> sightings)
    {
        LocalDate? since = null;
        for (var index = sightings.Count - 1; index >= 0; index--)
        {
            var look = sightings[index];
            if (look.SidesDiffer)
            {
                since = look.On;
            }
            else if (look.HasBothSides)
            {
                break;
            }
        }
        return since;
    }

    private PlainCheck? NextCheck(
        ItemCourse course,
        PlainChild child,
        PlainWindow window,
        PlainStanding standing,
        List<PlainLook> known,
        List<PlainLook> counting
    )
    {
        var last = counting.Count == 0 ? (LocalDate?)null : counting[^1].On;
        if (PlannedCheck(course, child, window, standing, last) is not { } planned)
        {
            return null;
        }
        // A look that could not count is repeated, unless the planned check comes within the same few days.
        if (known.FindLast(look => !look.Counts)?.On is not { } passed || passed < last || standing.State == ItemState.NotYetExpected)
        {
            return planned;
        }
        var soon = passed.PlusDays(policy.ConcernRecheckFromDays);
        return passed < planned.From && planned.From <= soon
            ? planned
            : new PlainCheck(soon, passed.PlusDays(policy.ConcernRecheckThroughDays), CheckPurpose.RepeatInconclusive);
    }

    private PlainCheck? PlannedCheck(ItemCourse course, PlainChild child, PlainWindow window, PlainStanding standing, LocalDate? last)
    {
        var followed = LocalDate.Max(child.FollowedFrom ?? child.Born, child.Born);
        switch (standing.State)
        {
            case ItemState.NotYetExpected:
            case ItemState.ExpectedNotYetSeen when last is null:
                return First(window.ExpectedFrom, policy.FirstLookDays, CheckPurpose.FirstLook);
            case ItemState.DeadlinePassedUnchecked:
                return First(standing.Since!.Value, policy.GraceDays, CheckPurpose.AfterDeadline);
            case ItemState.AwaitingConfirmation:
                return Again(policy.ConfirmAfterDays, policy.ConfirmThroughDays, CheckPurpose.Confirm);
            case ItemState.AbsentWhenExpected:
                return Again(policy.ConcernRecheckFromDays, policy.ConcernRecheckThroughDays, CheckPurpose.Confirm);
            case ItemState.OneSided:
            case ItemState.Obligatory:
                return Again(policy.ConcernRecheckFromDays, policy.ConcernRecheckThroughDays, CheckPurpose.Recheck);
            case ItemState.Persisting:
            case ItemState.Late:
                return Again(policy.RecheckFromDays, policy.RecheckThroughDays, CheckPurpose.Recheck);
            case ItemState.Returned:
                return Again(1, policy.ReturnedRecheckThroughDays, CheckPurpose.Recheck);
            case ItemState.Integrated:
            case ItemState.Established:
                return null;
            case ItemState.ExpectedNotYetSeen when course == ItemCourse.Lifelong:
                return Again(policy.ConcernRecheckFromDays, policy.ConcernRecheckThroughDays, CheckPurpose.Recheck);
            case ItemState.Emerging when last > window.UsualThrough:
                return Again(policy.RecheckFromDays, policy.RecheckThroughDays, CheckPurpose.Recheck);
            default:
                return course == ItemCourse.Lifelong ? null : AsExpected(course, window, last!.Value);
        }

        PlainCheck First(LocalDate from, int days, CheckPurpose purpose)
        {
            var start = LocalDate.Max(from, followed);
            return new PlainCheck(start, start.PlusDays(Math.Max(days, 1)), purpose);
        }

        PlainCheck Again(int from, int through, CheckPurpose purpose) =>
            new(last!.Value.PlusDays(from), last.Value.PlusDays(through), purpose);
    }

    private PlainCheck AsExpected(ItemCourse course, PlainWindow window, LocalDate last)
    {
        var deadline = window.UsualThrough!.Value;
        var opens = course == ItemCourse.GivesWay ? window.UsualFrom : window.ExpectedFrom;
        if (course == ItemCourse.GivesWay && last < opens)
        {
            var through = LocalDate.Min(opens.PlusDays(policy.FirstLookDays), deadline);
            return new PlainCheck(opens, LocalDate.Max(opens, through), CheckPurpose.WindowOpening);
        }
        var before = LocalDate.Max(deadline.PlusDays(-policy.BeforeDeadlineDays), opens);
        if (last < before)
        {
            return new PlainCheck(before, deadline, CheckPurpose.BeforeDeadline);
        }
        var from = LocalDate.Max(deadline.PlusDays(1), last.PlusDays(policy.ConcernRecheckFromDays));
        return new PlainCheck(from, LocalDate.Max(from, deadline.PlusDays(policy.GraceDays)), CheckPurpose.AfterDeadline);
    }

    private static Concern ConcernOf(PlainStanding standing) =>
        standing.State switch
        {
            ItemState.Returned => Concern.SameDay,
            ItemState.Obligatory or ItemState.OneSided => Concern.Act,
            ItemState.Persisting or ItemState.Late when standing.Step == 2 => Concern.Act,
            ItemState.AbsentWhenExpected when standing.IsConfirmed => Concern.Act,
            ItemState.Persisting or ItemState.Late or ItemState.AbsentWhenExpected => Concern.Advisory,
            ItemState.DeadlinePassedUnchecked or ItemState.AwaitingConfirmation => Concern.Watch,
            _ => Concern.None,
        };
}
