using Caseload.Domain.Policy;

namespace Caseload.Domain.Interpretation;

/// <summary>Reads the findings of a reaction that emerges, as of a day.</summary>
internal static class EmergingRule
{
    private const int PartialGrade = 1;
    private const int CompleteGrade = 2;

    internal ref struct Course
    {
        public int LastConclusive;
        public int LastLevel; // 0 absent, 1 partial, 2 complete, of the last check that counts
        public int EverEstablishedOn; // the last time it was seen complete
        public int EstablishedSince; // first complete response since it was last lost
        public int EmergingSince;
        public int LateSince; // first check of the present run that was late
        public int LateByPartial;
        public int LostFirst;
        public int LostDays;
        public int FadeFirst; // first absence in the span in which it usually fades
        public int FadedOn;
        public SideDifference Sides;
        public int LastPassed;
    }

    internal static void Follow(
        ref Course course,
        in ItemWindow window,
        ReadOnlySpan<DayEvidence> days,
        int asOf,
        int graceEnd,
        int partialEnd,
        int confirmAfterDays
    )
    {
        foreach (ref readonly var day in days)
        {
            if (day.Day > asOf)
            {
                break;
            }
            var top = day.Top;
            if (top < 0 || (top == 0 && !day.HasBothSides))
            {
                course.LastPassed = day.Day;
                continue;
            }
            // Complete means complete on both sides; one side alone, or sides that differ, is in part.
            var level =
                top == 0 ? 0
                : day.HasBothSides && day.Bottom == CompleteGrade ? CompleteGrade
                : PartialGrade;
            course.LastConclusive = day.Day;
            course.LastLevel = level;
            if (level == 0)
            {
                course.EmergingSince = course.EstablishedSince = course.LateByPartial = 0;
                course.Sides.Clear();
                // Absence in the span in which it usually fades takes back no absence from before the span: that one still stands.
                var isStanding = course.LateSince != 0 || course.LostFirst != 0;
                if (day.Day >= window.EndsFrom && (!isStanding || day.Day > window.EndsThrough))
                {
                    course.FadedOn =
                        course.FadedOn == 0 && course.FadeFirst != 0 && day.Day - course.FadeFirst >= confirmAfterDays
                            ? day.Day
                            : course.FadedOn;
                    course.FadeFirst = course.FadeFirst == 0 ? day.Day : course.FadeFirst;
                }
                else if (course.EverEstablishedOn != 0)
                {
                    course.LostFirst = course.LostFirst == 0 ? day.Day : course.LostFirst;
                    course.LostDays++;
                }
                else if (day.Day > graceEnd)
                {
                    course.LateSince = course.LateSince == 0 ? day.Day : course.LateSince;
                }
                continue;
            }

            course.LostFirst = course.LostDays = course.FadeFirst = course.FadedOn = 0;
            if (level == CompleteGrade)
            {
                course.EstablishedSince = course.EstablishedSince == 0 ? day.Day : course.EstablishedSince;
                course.EverEstablishedOn = day.Day;
                course.EmergingSince = course.LateSince = course.LateByPartial = 0;
            }
            else
            {
                course.EstablishedSince = 0;
                course.EmergingSince = course.EmergingSince == 0 ? day.Day : course.EmergingSince;
                course.LateByPartial =
                    day.Day <= partialEnd ? 0
                    : course.LateByPartial == 0 ? day.Day
                    : course.LateByPartial;
                course.LateSince = 0;
            }
            course.Sides.See(day);
        }
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
        var graceEnd = window.UsualThrough + policy.GraceDays;
        var limitEnd = window.LatestThrough == ItemWindow.None ? ItemWindow.None : Math.Max(window.LatestThrough, graceEnd);
        var partialEnd =
            window.PartialThrough == ItemWindow.None ? limitEnd
            : limitEnd == ItemWindow.None ? window.PartialThrough
            : Math.Max(window.PartialThrough, limitEnd);
        var course = default(Course);
        Follow(ref course, window, days, asOf, graceEnd, partialEnd, policy.ConfirmAfterDays);
        var checks = new CheckRule(in rule, in window, in child, policy, course.LastConclusive, course.LastPassed);

        if (course.LastConclusive == 0)
        {
            return ByDateAlone(window, course, checks, asOf, graceEnd, ref trace);
        }
        return course.LastLevel == 0
            ? WhenAbsent(window, course, checks, asOf, graceEnd, limitEnd, policy, ref trace)
            : WhenSeen(window, course, checks, asOf, graceEnd, partialEnd, ref trace);
    }

    private static ItemVerdict ByDateAlone<TTrace>(
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
        if (course.LastConclusive != 0)
        {
            trace.Add(ReasonCode.AbsentOn, course.LastConclusive);
        }
        if (asOf > graceEnd)
        {
            trace.Add(ReasonCode.NoCheckSinceDeadline, window.UsualThrough, graceEnd);
            return checks.Plan(ItemState.DeadlinePassedUnchecked, 0, false, graceEnd + 1, 0);
        }
        trace.Add(ReasonCode.OnsetReached, window.ExpectedFrom);
        if (course.LastConclusive == 0)
        {
            trace.Add(ReasonCode.NoConclusiveCheck);
        }
        trace.Add(ReasonCode.ExpectedBy, window.UsualThrough, graceEnd);
        return checks.Plan(ItemState.ExpectedNotYetSeen, 0, false, window.ExpectedFrom, graceEnd + 1);
    }

    private static ItemVerdict WhenAbsent<TTrace>(
        in ItemWindow window,
        in Course course,
        in CheckRule checks,
        int asOf,
        int graceEnd,
        int limitEnd,
        ReviewPolicy policy,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        if (course.FadeFirst != 0)
        {
            trace.Add(ReasonCode.UsuallyFades, window.EndsFrom, window.EndsThrough);
            trace.Add(ReasonCode.AbsentOn, course.FadeFirst);
            if (course.FadedOn != 0)
            {
                trace.Add(ReasonCode.SecondAbsence, course.FadedOn, policy.ConfirmAfterDays);
                return checks.Plan(ItemState.Integrated, 0, false, course.FadedOn, 0);
            }
            trace.Add(ReasonCode.SecondAbsenceNeeded, course.FadeFirst + policy.ConfirmAfterDays, policy.ConfirmAfterDays);
            return checks.Plan(ItemState.AwaitingConfirmation, 0, false, course.FadeFirst, 0);
        }
        if (course.LostFirst != 0)
        {
            trace.Add(ReasonCode.LostAfterEstablished, course.LostFirst, course.EverEstablishedOn);
            trace.Add(
                course.LostDays > 1 ? ReasonCode.AbsenceConfirmed : ReasonCode.AbsenceUnconfirmed,
                course.LostDays > 1 ? course.LastConclusive : 0
            );
            return checks.Plan(ItemState.AbsentWhenExpected, 0, course.LostDays > 1, course.LostFirst, 0);
        }
        if (course.LateSince != 0)
        {
            var isPastLimit = course.LastConclusive > limitEnd;
            trace.Add(ReasonCode.AbsentOn, course.LastConclusive);
            trace.Add(ReasonCode.LateAfterUsual, window.UsualThrough, graceEnd);
            if (isPastLimit)
            {
                trace.Add(ReasonCode.LateAfterLimit, window.LatestThrough);
            }
            return checks.Plan(ItemState.Late, (byte)(isPastLimit ? 2 : 1), false, course.LateSince, 0);
        }
        return ByDateAlone(window, course, checks, asOf, graceEnd, ref trace);
    }

    private static ItemVerdict WhenSeen<TTrace>(
        in ItemWindow window,
        in Course course,
        in CheckRule checks,
        int asOf,
        int graceEnd,
        int partialEnd,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        trace.Add(ReasonCode.SeenOn, course.LastConclusive, course.LastLevel);
        if (course.Sides.Since != 0)
        {
            trace.Add(ReasonCode.SidesDiffer, course.Sides.LastDay, course.Sides.Grades);
            return checks.Plan(ItemState.OneSided, 0, false, course.Sides.Since, 0);
        }
        if (course.LastLevel == CompleteGrade)
        {
            return checks.Plan(ItemState.Established, 0, false, course.EstablishedSince, 0);
        }
        if (course.EverEstablishedOn != 0)
        {
            trace.Add(ReasonCode.LessThanBefore, course.EverEstablishedOn);
            return checks.Plan(ItemState.Emerging, 0, false, course.EmergingSince, 0);
        }
        if (course.LateByPartial != 0)
        {
            trace.Add(ReasonCode.PartialTooLong, partialEnd);
            return checks.Plan(ItemState.Late, 1, false, course.LateByPartial, 0);
        }

        // A look after the usual date settles that deadline; the next one that can pass is the date up to which a part is accepted.
        var isAfterUsual = course.LastConclusive > window.UsualThrough;
        var lapsesAfter = isAfterUsual ? partialEnd : graceEnd;
        trace.Add(
            isAfterUsual ? ReasonCode.PartialAccepted : ReasonCode.ExpectedBy,
            isAfterUsual ? partialEnd : window.UsualThrough,
            isAfterUsual ? 0 : graceEnd
        );
        if (asOf > lapsesAfter)
        {
            trace.Add(ReasonCode.NoCheckSinceDeadline, isAfterUsual ? partialEnd : window.UsualThrough, lapsesAfter);
            return checks.Plan(ItemState.DeadlinePassedUnchecked, 0, false, lapsesAfter + 1, 0);
        }
        return checks.Plan(ItemState.Emerging, 0, false, course.EmergingSince, lapsesAfter == ItemWindow.None ? 0 : lapsesAfter + 1);
    }
}
