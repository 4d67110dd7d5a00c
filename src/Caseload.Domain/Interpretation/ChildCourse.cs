using Caseload.Domain.Findings;

namespace Caseload.Domain.Interpretation;

/// <summary>A child's findings, gathered once so that the same question can be asked for several days.</summary>
public sealed class ChildCourse
{
    private readonly Interpreter _interpreter;
    private readonly ChildDays _days;
    private readonly ItemWindow[] _windows;
    private readonly DayEvidence[][] _evidence;

    private ChildCourse(Interpreter interpreter, ChildDays days, ItemWindow[] windows, DayEvidence[][] evidence)
    {
        _interpreter = interpreter;
        _days = days;
        _windows = windows;
        _evidence = evidence;
    }

    /// <summary>Gathers.</summary>
    /// <param name="interpreter">The set and the policy.</param>
    /// <param name="child">The child.</param>
    /// <param name="recorded">Everything recorded, corrections and withdrawals included.</param>
    public static ChildCourse Of(Interpreter interpreter, ChildFacts child, IReadOnlyCollection<Finding> recorded)
    {
        var standing = StandingFindings.Of(recorded).ToLookup(finding => finding.Item);
        var childDays = ChildDays.Of(child.Birth, interpreter.Policy, child.FollowedFromOn);
        Span<int> days = stackalloc int[interpreter.Windows.DayCount];
        interpreter.Windows.FillDays(childDays, days);
        var windows = new ItemWindow[interpreter.Windows.Count];
        var evidence = new DayEvidence[windows.Length][];
        for (var item = 0; item < windows.Length; item++)
        {
            windows[item] = interpreter.Windows.WindowOf(item, childDays, days);
            evidence[item] = interpreter.EvidenceOf(item, standing[interpreter.Set.Items[item].Id]);
        }
        return new ChildCourse(interpreter, childDays, windows, evidence);
    }

    /// <summary>Where the child stands with an item on a day; later findings are not looked at.</summary>
    /// <param name="item">Position of the item in the set.</param>
    /// <param name="asOfOn">The day.</param>
    public ItemVerdict On(int item, DateOnly asOfOn) =>
        _interpreter.Evaluate(item, _windows[item], _evidence[item], _days, asOfOn.DayNumber);

    /// <summary>The dates of an item for the child.</summary>
    public ItemWindow WindowOf(int item) => _windows[item];

    /// <summary>The set and the policy the course is read by.</summary>
    internal Interpreter Interpreter => _interpreter;

    /// <summary>The child's days.</summary>
    internal ChildDays Days => _days;

    /// <summary>An item's evidence in ascending order of days, one entry a day.</summary>
    internal ReadOnlySpan<DayEvidence> EvidenceOf(int item) => _evidence[item];

    /// <summary>What became of a persisting response in the seven days up to and with a day; null when it does not persist on that day.</summary>
    /// <param name="item">Position of the item in the set.</param>
    /// <param name="asOfOn">The day.</param>
    public PersistingTrend? TrendOf(int item, DateOnly asOfOn)
    {
        var beforeOn = asOfOn.AddDays(-7);
        if (On(item, asOfOn).State != ItemState.Persisting)
        {
            return null;
        }
        if (On(item, beforeOn).State != ItemState.Persisting)
        {
            return PersistingTrend.New;
        }
        var last = LastSeen(item, asOfOn.DayNumber);
        return last.Day <= beforeOn.DayNumber ? PersistingTrend.NotSeenAgain
            : last.Top > LastSeen(item, beforeOn.DayNumber).Top ? PersistingTrend.Stronger
            : last.Top < LastSeen(item, beforeOn.DayNumber).Top ? PersistingTrend.Weaker
            : PersistingTrend.Same;
    }

    // A response persists because it was seen, so there is such a day.
    private DayEvidence LastSeen(int item, int throughDay) => _evidence[item].Last(day => day.Day <= throughDay && day.IsConclusive);
}

/// <summary>What became of a persisting response within a week.</summary>
public enum PersistingTrend
{
    /// <summary>It did not persist a week before.</summary>
    New,

    /// <summary>It persists, and was not looked at within the week.</summary>
    NotSeenAgain,

    /// <summary>Looked at within the week: stronger than at the look before.</summary>
    Stronger,

    /// <summary>Looked at within the week: weaker than at the look before.</summary>
    Weaker,

    /// <summary>Looked at within the week: as strong as at the look before.</summary>
    Same,
}
