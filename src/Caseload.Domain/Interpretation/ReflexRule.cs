using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Interpretation;

/// <summary>Reads the findings of an item that gives way, or that stays for life, as of a day.</summary>
internal static class ReflexRule
{
    private const int ObligatoryGrade = 4;
    private const int WeakGrade = 1;

    /// <summary>What the days add up to, before the date of the question is looked at.</summary>
    internal ref struct Course
    {
        public int LastConclusive; // day of the last check that counts
        public int LastSeen; // day of the last sighting
        public int LastAbsent; // day of the last full absence
        public int LastGrade;
        public int StrongestBefore; // strongest grade on an earlier day
        public int RunStart; // first sighting of the present run
        public int PersistStart; // first sighting of the run after deadline and grace
        public int FirstAbsence; // first of the absences that count towards integration
        public int IntegratedOn;
        public int IntegratedBefore; // when it had been integrated, kept once it returned
        public int ReturnedOn;
        public int FlagFirst; // first absence within the span in which absence matters
        public int FlagDays;
        public SideDifference Sides;
        public int ObligatorySince;
        public int LastPassed; // last day whose findings cannot count
    }

    internal static void Follow(
        ref Course course,
        in ItemWindow window,
        ReadOnlySpan<DayEvidence> days,
        int asOf,
        int integratesFrom,
        int graceEnd,
        int confirmAfterDays
    )
    {
        var everSeen = false;
        var strongest = 0;
        foreach (ref readonly var day in days)
        {
            if (day.Day > asOf)
            {
                break;
            }
            var grade = day.Top;
            if (grade < 0 || (grade == 0 && !day.HasBothSides))
            {
                course.LastPassed = day.Day;
                continue;
            }
            course.LastConclusive = day.Day;
            if (grade == 0)
            {
                course.LastAbsent = day.Day;
                course.RunStart = course.PersistStart = course.ObligatorySince = 0;
                course.Sides.Clear();
                if (window.AbsenceFrom <= day.Day && day.Day <= window.AbsenceThrough)
                {
                    course.FlagFirst = course.FlagFirst == 0 ? day.Day : course.FlagFirst;
                    course.FlagDays++;
                    course.FirstAbsence = course.IntegratedOn = 0;
                }
                else if (day.Day >= integratesFrom && (everSeen || day.Day >= window.UsualFrom))
                {
                    if (course.FirstAbsence == 0)
                    {
                        course.FirstAbsence = day.Day;
                    }
                    else if (course.IntegratedOn == 0 && day.Day - course.FirstAbsence >= confirmAfterDays)
                    {
                        course.IntegratedOn = day.Day;
                        course.ReturnedOn = 0;
                    }
                }
                continue;
            }

            if (course.IntegratedOn != 0)
            {
                course.IntegratedBefore = course.IntegratedOn;
                course.ReturnedOn = day.Day;
            }
            course.IntegratedOn = course.FirstAbsence = course.FlagFirst = course.FlagDays = 0;
            course.LastSeen = day.Day;
            course.LastGrade = grade;
            course.StrongestBefore = strongest;
            strongest = Math.Max(strongest, grade);
            everSeen = true;
            course.RunStart = course.RunStart == 0 ? day.Day : course.RunStart;
            course.PersistStart = course.PersistStart == 0 && day.Day > graceEnd ? day.Day : course.PersistStart;
            course.ObligatorySince =
                grade < ObligatoryGrade ? 0
                : course.ObligatorySince == 0 ? day.Day
                : course.ObligatorySince;
            course.Sides.See(day);
        }
    }

    /// <summary>What the days of an item that gives way add up to.</summary>
    internal static Course CourseOf(in ItemWindow window, ReadOnlySpan<DayEvidence> days, in ChildDays child, int asOf, ReviewPolicy policy)
    {
        var course = default(Course);
        Follow(
            ref course,
            window,
            days,
            asOf,
            IntegratesFrom(window, child),
            window.UsualThrough + policy.GraceDays,
            policy.ConfirmAfterDays
        );
        return course;
    }

    internal static ItemVerdict Interpret<TTrace>(
        in ItemRule rule,
        in ItemWindow window,
        ReadOnlySpan<DayEvidence> days,
        in ChildDays child,
        int asOf,
        ReviewPolicy policy,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        var hasDeadline = rule.Course == ItemCourse.GivesWay;
        var graceEnd = hasDeadline ? window.UsualThrough + policy.GraceDays : ItemWindow.None;
        // A latest limit inside the grace starts to count when the grace ends, so that nothing is past a limit before it is past the deadline.
        var limitEnd = window.LatestThrough == ItemWindow.None ? ItemWindow.None : Math.Max(window.LatestThrough, graceEnd);
        // What stays for life never goes: no absence there integrates.
        var integratesFrom = hasDeadline ? IntegratesFrom(window, child) : ItemWindow.None;
        var course = default(Course);
        Follow(ref course, window, days, asOf, integratesFrom, graceEnd, policy.ConfirmAfterDays);
        var checks = new CheckRule(in rule, in window, in child, policy, course.LastConclusive, course.LastPassed);

        if (
            course.LastConclusive == 0
            || (course.LastSeen != course.LastConclusive && course is { IntegratedOn: 0, FlagFirst: 0, FirstAbsence: 0 })
        )
        {
            return ByDateAlone(rule, window, course, checks, asOf, graceEnd, ref trace);
        }
        if (course.LastSeen == course.LastConclusive)
        {
            return WhenSeen(rule, window, course, checks, asOf, graceEnd, limitEnd, ref trace);
        }
        if (course.IntegratedOn != 0)
        {
            trace.Add(ReasonCode.AbsentOn, course.FirstAbsence);
            trace.Add(ReasonCode.SecondAbsence, course.IntegratedOn, policy.ConfirmAfterDays);
            return checks.Plan(ItemState.Integrated, 0, false, course.IntegratedOn, 0);
        }
        if (course.FlagFirst != 0)
        {
            trace.Add(ReasonCode.AbsentOn, course.FlagFirst);
            trace.Add(ReasonCode.AbsenceMatters, window.AbsenceFrom, window.AbsenceThrough);
            trace.Add(
                course.FlagDays > 1 ? ReasonCode.AbsenceConfirmed : ReasonCode.AbsenceUnconfirmed,
                course.FlagDays > 1 ? course.LastAbsent : 0
            );
            return checks.Plan(ItemState.AbsentWhenExpected, 0, course.FlagDays > 1, course.FlagFirst, 0);
        }
        trace.Add(ReasonCode.AbsentOn, course.FirstAbsence);
        trace.Add(ReasonCode.SecondAbsenceNeeded, course.FirstAbsence + policy.ConfirmAfterDays, policy.ConfirmAfterDays);
        return checks.Plan(ItemState.AwaitingConfirmation, 0, false, course.FirstAbsence, 0);
    }

    // Before the expected date responses still come and go.
    private static int IntegratesFrom(in ItemWindow window, in ChildDays child) => Math.Max(window.ExpectedFrom, child.AnchorDay);

    private static ItemVerdict ByDateAlone<TTrace>(
        in ItemRule rule,
        in ItemWindow window,
        in Course course,
        in CheckRule checks,
        int asOf,
        int graceEnd,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        if (asOf < window.ExpectedFrom)
        {
            trace.Add(ReasonCode.BeforeOnset, window.ExpectedFrom);
            return checks.Plan(ItemState.NotYetExpected, 0, false, 0, window.ExpectedFrom);
        }
        if (asOf > graceEnd)
        {
            if (course.LastConclusive != 0)
            {
                trace.Add(ReasonCode.AbsenceMeansLittle, course.LastConclusive);
            }
            trace.Add(ReasonCode.NoCheckSinceDeadline, window.UsualThrough, graceEnd);
            return checks.Plan(ItemState.DeadlinePassedUnchecked, 0, false, graceEnd + 1, 0);
        }
        trace.Add(ReasonCode.OnsetReached, window.ExpectedFrom);
        trace.Add(course.LastConclusive == 0 ? ReasonCode.NoConclusiveCheck : ReasonCode.AbsenceMeansLittle, course.LastConclusive);
        if (rule.Course == ItemCourse.Lifelong)
        {
            trace.Add(ReasonCode.NoDeadline);
            return checks.Plan(ItemState.ExpectedNotYetSeen, 0, false, window.ExpectedFrom, 0);
        }
        trace.Add(ReasonCode.UsualDeadline, window.UsualThrough, graceEnd);
        return checks.Plan(ItemState.ExpectedNotYetSeen, 0, false, window.ExpectedFrom, graceEnd + 1);
    }

    private static ItemVerdict WhenSeen<TTrace>(
        in ItemRule rule,
        in ItemWindow window,
        in Course course,
        in CheckRule checks,
        int asOf,
        int graceEnd,
        int limitEnd,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        var step = (byte)(
            course.PersistStart == 0 ? 0
            : course.LastSeen > limitEnd ? 2
            : 1
        );
        trace.Add(ReasonCode.SeenOn, course.LastSeen, course.LastGrade);
        if (course.ReturnedOn != 0)
        {
            trace.Add(ReasonCode.IntegratedOn, course.IntegratedBefore);
            trace.Add(ReasonCode.SeenAgainOn, course.ReturnedOn);
        }
        if (course.ObligatorySince != 0)
        {
            trace.Add(ReasonCode.ObligatoryOn, course.LastSeen);
        }
        if (course.Sides.Since != 0)
        {
            trace.Add(ReasonCode.SidesDiffer, course.Sides.LastDay, course.Sides.Grades);
        }
        if (step > 0)
        {
            trace.Add(ReasonCode.PastUsualDeadline, window.UsualThrough, graceEnd);
            if (step == 2)
            {
                trace.Add(ReasonCode.PastLatestLimit, window.LatestThrough);
            }
            else
            {
                trace.Add(limitEnd == ItemWindow.None ? ReasonCode.NoLatestLimit : ReasonCode.LatestLimitAhead, window.LatestThrough);
            }
        }

        if (course.ReturnedOn != 0)
        {
            return checks.Plan(ItemState.Returned, 0, false, course.ReturnedOn, 0);
        }
        if (course.ObligatorySince != 0)
        {
            return checks.Plan(ItemState.Obligatory, 0, false, course.ObligatorySince, 0);
        }
        if (course.Sides.Since != 0)
        {
            return checks.Plan(ItemState.OneSided, 0, false, course.Sides.Since, 0);
        }
        if (step > 0)
        {
            return checks.Plan(ItemState.Persisting, step, false, course.PersistStart, 0);
        }
        if (rule.Course == ItemCourse.Lifelong)
        {
            trace.Add(ReasonCode.NoDeadline);
            return checks.Plan(ItemState.PresentAsExpected, 0, false, course.RunStart, 0);
        }
        if (asOf > graceEnd)
        {
            trace.Add(ReasonCode.NoCheckSinceDeadline, window.UsualThrough, graceEnd);
            return checks.Plan(ItemState.DeadlinePassedUnchecked, 0, false, graceEnd + 1, 0);
        }

        var isInWindow = course.LastSeen >= window.UsualFrom;
        var isFading = course.LastGrade == WeakGrade && (isInWindow || course.StrongestBefore > WeakGrade);
        if (course.LastSeen > window.UsualThrough)
        {
            trace.Add(ReasonCode.WithinGrace, window.UsualThrough, graceEnd);
        }
        else
        {
            trace.Add(isInWindow ? ReasonCode.WithinUsualWindow : ReasonCode.BeforeUsualWindow, window.UsualFrom, window.UsualThrough);
        }
        if (isFading && course.StrongestBefore > WeakGrade)
        {
            trace.Add(ReasonCode.WeakerThanBefore, course.LastSeen, course.StrongestBefore);
        }
        trace.Add(ReasonCode.UsualDeadline, window.UsualThrough, graceEnd);
        return isFading
            ? checks.Plan(ItemState.Fading, 0, false, course.LastSeen, graceEnd + 1)
            : checks.Plan(ItemState.PresentAsExpected, 0, false, course.RunStart, graceEnd + 1);
    }
}
