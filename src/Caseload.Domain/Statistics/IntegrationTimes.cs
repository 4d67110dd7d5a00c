using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Statistics;

/// <summary>Turns what was seen of a reflex that gives way into what is known of the age at which it integrated.</summary>
/// <remarks>
/// <para>
/// Integrated means what <see cref="ItemState.Integrated"/> means; the rule is asked and not told again here. It needs two consecutive
/// absences that count, far enough apart: both sides tested, in a suitable state, neither before the expected date nor at an age at which
/// absence itself is a concern. The age lies after the last check at which the reflex was seen and at the latest at the first of the two
/// absences: the second only confirms it.
/// </para>
/// <para>
/// Ages are days since the anchor of the child's ages: the expected date when the policy corrects, else birth. They are corrected beyond the
/// age up to which corrected age is shown, as the windows are.
/// </para>
/// </remarks>
public static class IntegrationTimes
{
    /// <summary>What is known of the age at which an item integrated.</summary>
    /// <remarks>
    /// <list type="bullet">
    /// <item>Integrated, never seen before: after age 0. Sightings before the expected date count as age 0 too.</item>
    /// <item>Still seen, or absent only once at the end: not by the age at the last sighting (right-censored). A single absence is not
    /// yet an answer; leaving it out takes nothing away, because the last sighting stands.</item>
    /// <item>Seen again after it had integrated: the first integration stays, because the curve asks when it was reached. The return is
    /// said by <see cref="ItemState.Returned"/>.</item>
    /// </list>
    /// </remarks>
    /// <param name="interpreter">The set and the policy.</param>
    /// <param name="item">Position of the item in the set; one that gives way.</param>
    /// <param name="window">Its dates for the child.</param>
    /// <param name="days">The item's evidence in ascending order of days, one entry a day.</param>
    /// <param name="child">The child's days.</param>
    /// <param name="asOf">Day number; later evidence is not looked at.</param>
    /// <returns>The interval in days of age; null when nothing is known: it never integrated and was never seen at an age above 0.</returns>
    /// <exception cref="ArgumentException">The item does not give way.</exception>
    public static EventInterval? Of(
        Interpreter interpreter,
        int item,
        in ItemWindow window,
        ReadOnlySpan<DayEvidence> days,
        in ChildDays child,
        int asOf
    )
    {
        if (interpreter.RuleOf(item).Course != ItemCourse.GivesWay)
        {
            throw new ArgumentException("Only an item that gives way integrates.", nameof(item));
        }
        var lastSeen = 0;
        foreach (ref readonly var day in days)
        {
            if (day.Day > asOf)
            {
                break;
            }
            var course = ReflexRule.CourseOf(window, days, child, day.Day, interpreter.Policy);
            lastSeen = course.LastSeen;
            if (course.IntegratedOn != 0)
            {
                var through = course.FirstAbsence - child.AnchorDay;
                return new EventInterval(Math.Min(AgeAt(lastSeen, child), through), through);
            }
        }
        var notBy = AgeAt(lastSeen, child);
        return notBy > 0 ? EventInterval.NotBy(notBy) : null;
    }

    /// <summary>What is known, as of a day, of the age at which an item integrated in a child's course.</summary>
    /// <param name="course">The child's findings.</param>
    /// <param name="item">Position of the item in the set; one that gives way.</param>
    /// <param name="asOfOn">The day; later findings are not looked at.</param>
    /// <returns>As the other overload.</returns>
    /// <exception cref="ArgumentException">The item does not give way.</exception>
    public static EventInterval? Of(ChildCourse course, int item, DateOnly asOfOn) =>
        Of(course.Interpreter, item, course.WindowOf(item), course.EvidenceOf(item), course.Days, asOfOn.DayNumber);

    /// <summary>The curve of several children's ages at integration, unless too few are known.</summary>
    /// <param name="times">One interval for each child of whom something is known, all of one item.</param>
    /// <returns>The curve, or a refusal under <see cref="CurvePolicy.CurveMinimum"/> children.</returns>
    public static Checked<TurnbullCurve> CurveOf(IReadOnlyCollection<EventInterval> times) =>
        times.Count < CurvePolicy.CurveMinimum
            ? Checked.Refuse<TurnbullCurve>(
                "children",
                $"There is no curve of fewer than {CurvePolicy.CurveMinimum} children; something is known of {times.Count}. Choose more children or another item."
            )
            : Checked.Accept(TurnbullCurve.Of(times));

    private static int AgeAt(int day, in ChildDays child) => Math.Max(0, day - child.AnchorDay);
}
