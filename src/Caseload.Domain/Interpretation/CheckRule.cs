using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Interpretation;

/// <summary>Plans the next check that follows from a state, and how much attention the state asks for.</summary>
/// <remarks>
/// The span depends on the state and the findings only, never on the day of the question, so that it does not move while nobody
/// looks: a check that was missed stays where it was and is overdue. All lengths are policy, common practice without a source.
/// </remarks>
internal readonly ref struct CheckRule(
    ref readonly ItemRule rule,
    ref readonly ItemWindow window,
    ref readonly ChildDays child,
    ReviewPolicy policy,
    int lastConclusive,
    int lastPassed
)
{
    // References: the rule is made anew for every item of every child, and copying them was a tenth of the batch path's time.
    private readonly ref readonly ItemRule _rule = ref rule;
    private readonly ref readonly ItemWindow _window = ref window;
    private readonly ref readonly ChildDays _child = ref child;

    /// <summary>Completes a verdict with the next check and the concern.</summary>
    internal ItemVerdict Plan(ItemState state, byte step, bool isConfirmed, int since, int nextChangeOn)
    {
        var (from, through, purpose) = SpanOf(state, since);
        // A check that could not count is repeated, unless another is due within days or the item is not expected yet.
        var isDueSoon = lastPassed < from && from <= lastPassed + policy.ConcernRecheckFromDays;
        if (lastPassed > lastConclusive && purpose != CheckPurpose.None && !isDueSoon && state != ItemState.NotYetExpected)
        {
            from = lastPassed + policy.ConcernRecheckFromDays;
            through = lastPassed + policy.ConcernRecheckThroughDays;
            purpose = CheckPurpose.RepeatInconclusive;
        }
        var isUnscheduled = _rule.IsUnscheduled && lastConclusive == 0;
        return isUnscheduled || purpose == CheckPurpose.None
            ? new ItemVerdict(
                state,
                step,
                isConfirmed,
                since,
                nextChangeOn,
                0,
                0,
                CheckPurpose.None,
                isUnscheduled ? Concern.None : ConcernOf(state, step, isConfirmed)
            )
            : new ItemVerdict(state, step, isConfirmed, since, nextChangeOn, from, through, purpose, ConcernOf(state, step, isConfirmed));
    }

    private (int From, int Through, CheckPurpose Purpose) SpanOf(ItemState state, int since) =>
        state switch
        {
            ItemState.NotYetExpected => Fresh(_window.ExpectedFrom, policy.FirstLookDays, CheckPurpose.FirstLook),
            ItemState.ExpectedNotYetSeen when lastConclusive == 0 => Fresh(
                _window.ExpectedFrom,
                policy.FirstLookDays,
                CheckPurpose.FirstLook
            ),
            // An absent startle or blink is looked for again: no response to a sound can be a matter of hearing.
            ItemState.ExpectedNotYetSeen when _rule.Course == ItemCourse.Lifelong => Again(
                policy.ConcernRecheckFromDays,
                policy.ConcernRecheckThroughDays,
                CheckPurpose.Recheck
            ),
            // A part that is accepted for months is not handled every week.
            ItemState.Emerging when lastConclusive > _window.UsualThrough => Again(
                policy.RecheckFromDays,
                policy.RecheckThroughDays,
                CheckPurpose.Recheck
            ),
            ItemState.ExpectedNotYetSeen or ItemState.PresentAsExpected or ItemState.Fading or ItemState.Emerging => Planned(),
            ItemState.DeadlinePassedUnchecked => Fresh(since, policy.GraceDays, CheckPurpose.AfterDeadline),
            ItemState.AwaitingConfirmation => Again(policy.ConfirmAfterDays, policy.ConfirmThroughDays, CheckPurpose.Confirm),
            ItemState.Persisting or ItemState.Late => Again(policy.RecheckFromDays, policy.RecheckThroughDays, CheckPurpose.Recheck),
            ItemState.AbsentWhenExpected => Again(policy.ConcernRecheckFromDays, policy.ConcernRecheckThroughDays, CheckPurpose.Confirm),
            ItemState.OneSided or ItemState.Obligatory => Again(
                policy.ConcernRecheckFromDays,
                policy.ConcernRecheckThroughDays,
                CheckPurpose.Recheck
            ),
            ItemState.Returned => Again(1, policy.ReturnedRecheckThroughDays, CheckPurpose.Recheck),
            ItemState.Integrated or ItemState.Established => (0, 0, CheckPurpose.None),
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };

    /// <summary>The next look at an item whose course is as expected: when its window opens, then before its deadline, then after it.</summary>
    private (int From, int Through, CheckPurpose Purpose) Planned()
    {
        if (_rule.Course == ItemCourse.Lifelong)
        {
            return (0, 0, CheckPurpose.None);
        }
        if (_rule.Course == ItemCourse.GivesWay && lastConclusive < _window.UsualFrom)
        {
            return (
                _window.UsualFrom,
                Math.Max(_window.UsualFrom, Math.Min(_window.UsualFrom + policy.FirstLookDays, _window.UsualThrough)),
                CheckPurpose.WindowOpening
            );
        }
        var lead = Math.Max(
            _window.UsualThrough - policy.BeforeDeadlineDays,
            _rule.Course == ItemCourse.GivesWay ? _window.UsualFrom : _window.ExpectedFrom
        );
        if (lastConclusive < lead)
        {
            return (lead, _window.UsualThrough, CheckPurpose.BeforeDeadline);
        }
        var from = Math.Max(_window.UsualThrough + 1, lastConclusive + policy.ConcernRecheckFromDays);
        return (from, Math.Max(from, _window.UsualThrough + policy.GraceDays), CheckPurpose.AfterDeadline);
    }

    /// <summary>A check that counts from an age; a child who came later gets the same time from the day it came.</summary>
    private (int From, int Through, CheckPurpose Purpose) Fresh(int from, int days, CheckPurpose purpose)
    {
        var start = Math.Max(from, _child.FollowedFromDay);
        return (start, start + Math.Max(days, 1), purpose);
    }

    private (int From, int Through, CheckPurpose Purpose) Again(int fromDays, int throughDays, CheckPurpose purpose) =>
        (lastConclusive + fromDays, lastConclusive + throughDays, purpose);

    private static Concern ConcernOf(ItemState state, byte step, bool isConfirmed) =>
        state switch
        {
            ItemState.Returned => Concern.SameDay,
            ItemState.Obligatory or ItemState.OneSided => Concern.Act,
            ItemState.Persisting or ItemState.Late => step == 2 ? Concern.Act : Concern.Advisory,
            ItemState.AbsentWhenExpected => isConfirmed ? Concern.Act : Concern.Advisory,
            ItemState.DeadlinePassedUnchecked or ItemState.AwaitingConfirmation => Concern.Watch,
            ItemState.NotYetExpected
            or ItemState.ExpectedNotYetSeen
            or ItemState.PresentAsExpected
            or ItemState.Fading
            or ItemState.Integrated
            or ItemState.Emerging
            or ItemState.Established => Concern.None,
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };
}
