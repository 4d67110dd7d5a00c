using System.Text;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Domain.Interpretation;

/// <summary>What the rules need to know of a child.</summary>
/// <param name="Birth">Birth date and gestation.</param>
/// <param name="FollowedFromOn">The day the programme took the child on; checks are not asked for before it. Null: from birth.</param>
public sealed record ChildFacts(BirthFacts Birth, DateOnly? FollowedFromOn = null);

/// <summary>Applies one reference set and one policy to children: dates, states, reasons, next checks.</summary>
/// <remarks>Holds no state between calls; one instance may serve any number of threads.</remarks>
public sealed class Interpreter
{
    private readonly ItemRule[] _rules;

    /// <summary>Prepares an interpreter.</summary>
    public Interpreter(ReferenceSet set, ReviewPolicy policy)
    {
        Set = set;
        Policy = policy;
        Windows = new WindowTable(set);
        _rules =
        [
            .. set.Items.Select(item => new ItemRule(
                item.Course,
                item.Sided != Sidedness.None,
                item.Optional && !policy.ScheduleOptionalItems,
                item.States.Best.Concat(item.States.Usable).Aggregate(0, (bits, state) => bits | (1 << (int)state))
            )),
        ];
    }

    /// <summary>The reference set.</summary>
    public ReferenceSet Set { get; }

    /// <summary>The policy.</summary>
    public ReviewPolicy Policy { get; }

    /// <summary>The dates of the set's items.</summary>
    public WindowTable Windows { get; }

    /// <summary>The rule of an item.</summary>
    public ItemRule RuleOf(int item) => _rules[item];

    /// <summary>The batch path: one item of one child, no words, no allocation.</summary>
    /// <param name="item">Position of the item in the set.</param>
    /// <param name="window">Its dates for the child.</param>
    /// <param name="days">The item's evidence in ascending order of days, one entry a day.</param>
    /// <param name="child">The child's days.</param>
    /// <param name="asOf">Day number of the question; later evidence is not looked at.</param>
    public ItemVerdict Evaluate(int item, in ItemWindow window, ReadOnlySpan<DayEvidence> days, in ChildDays child, int asOf)
    {
        var trace = default(NoTrace);
        return Evaluate(item, window, days, child, asOf, ref trace);
    }

    /// <summary>One item of one child, with the reasons told to a trace.</summary>
    public ItemVerdict Evaluate<TTrace>(
        int item,
        in ItemWindow window,
        ReadOnlySpan<DayEvidence> days,
        in ChildDays child,
        int asOf,
        ref TTrace trace
    )
        where TTrace : struct, IReasonTrace
    {
        ref readonly var rule = ref _rules[item];
        var verdict =
            rule.Course == ItemCourse.Emerges
                ? EmergingRule.Interpret(rule, window, days, child, asOf, Policy, ref trace)
                : ReflexRule.Interpret(rule, window, days, child, asOf, Policy, ref trace);
        if (trace.IsListening)
        {
            AddRemarks(rule, verdict, days, asOf, ref trace);
        }
        return verdict;
    }

    /// <summary>The whole answer for a child on a date: every item of the set, in its order.</summary>
    /// <param name="child">The child.</param>
    /// <param name="recorded">Everything recorded, corrections and withdrawals included; later findings are not looked at.</param>
    /// <param name="asOfOn">The date of the question.</param>
    public IReadOnlyList<ItemResult> Interpret(ChildFacts child, IReadOnlyCollection<Finding> recorded, DateOnly asOfOn)
    {
        var standing = StandingFindings.Of(recorded).ToLookup(finding => finding.Item);
        var childDays = ChildDays.Of(child.Birth, Policy, child.FollowedFromOn);
        Span<int> days = stackalloc int[Windows.DayCount];
        Windows.FillDays(childDays, days);
        var facts = new List<ReasonFact>();
        var text = new StringBuilder();
        var results = new List<ItemResult>(Set.Items.Count);
        for (var index = 0; index < Set.Items.Count; index++)
        {
            var window = Windows.WindowOf(index, childDays, days);
            results.Add(Explain(index, window, standing[Set.Items[index].Id], childDays, asOfOn.DayNumber, facts, text));
        }
        return results;
    }

    /// <summary>The answer for one item of a child on a date, with its reasons.</summary>
    /// <param name="item">Position of the item in the set.</param>
    /// <param name="window">Its dates for the child.</param>
    /// <param name="standing">The item's findings that stand.</param>
    /// <param name="child">The child's days.</param>
    /// <param name="asOfOn">The date of the question.</param>
    public ItemResult Explain(int item, in ItemWindow window, IEnumerable<Finding> standing, in ChildDays child, DateOnly asOfOn) =>
        Explain(item, window, standing, child, asOfOn.DayNumber, [], new StringBuilder());

    private ItemResult Explain(
        int index,
        in ItemWindow window,
        IEnumerable<Finding> findings,
        in ChildDays child,
        int asOf,
        List<ReasonFact> facts,
        StringBuilder text
    )
    {
        var item = Set.Items[index];
        var trace = new ListTrace(facts);
        facts.Clear();
        var verdict = Evaluate(index, window, EvidenceOf(index, findings), child, asOf, ref trace);
        return new ItemResult(item, verdict, window, [.. facts.Select(fact => InWords(fact, item, findings, text))]);
    }

    /// <summary>Gathers an item's findings into one entry a day, in ascending order.</summary>
    public DayEvidence[] EvidenceOf(int item, IEnumerable<Finding> standing)
    {
        List<DayEvidence>? days = null;
        foreach (var finding in standing)
        {
            days ??= [];
            var day = finding.ObservedOn.DayNumber;
            // Histories come in order or nearly so: the place is looked for from the end.
            var place = days.Count;
            while (place > 0 && days[place - 1].Day > day)
            {
                place--;
            }
            if (place > 0 && days[place - 1].Day == day)
            {
                days[place - 1] = days[place - 1].With(_rules[item], finding.Side, finding.Response, finding.State);
            }
            else
            {
                days.Insert(place, DayEvidence.Empty(day).With(_rules[item], finding.Side, finding.Response, finding.State));
            }
        }
        return days is null ? [] : [.. days];
    }

    private void AddRemarks<TTrace>(in ItemRule rule, in ItemVerdict verdict, ReadOnlySpan<DayEvidence> days, int asOf, ref TTrace trace)
        where TTrace : struct, IReasonTrace
    {
        if (rule.IsUnscheduled && days.IsEmpty)
        {
            trace.Add(ReasonCode.NotScheduled);
        }
        for (var index = days.Length - 1; index >= 0; index--)
        {
            ref readonly var day = ref days[index];
            if (day.Day > asOf)
            {
                continue;
            }
            // Only what came after the last check that counts still matters to the reader.
            if (day.IsConclusive && (day.Top > 0 || day.HasBothSides))
            {
                if (BeganWithAFinding(verdict.State) && verdict.Since < day.Day)
                {
                    trace.Add(ReasonCode.HoldsSince, verdict.Since);
                }
                if (day.HasStateMissing)
                {
                    trace.Add(ReasonCode.StateNotRecorded, day.Day);
                }
                break;
            }
            if (day.IsConclusive)
            {
                trace.Add(ReasonCode.OneSideOnly, day.Day);
            }
            else if (day.Unsuitable != 0)
            {
                trace.Add(ReasonCode.InconclusiveOn, day.Day, day.Unsuitable);
            }
            else
            {
                trace.Add(ReasonCode.NotTestedOn, day.Day);
            }
        }
    }

    /// <summary>Whether a state counts from a finding that its own reasons need not name, because they speak of the last one.</summary>
    private static bool BeganWithAFinding(ItemState state) =>
        state
            is ItemState.PresentAsExpected
                or ItemState.Persisting
                or ItemState.OneSided
                or ItemState.Obligatory
                or ItemState.Emerging
                or ItemState.Established
                or ItemState.Late;

    private static Reason InWords(in ReasonFact fact, ReferenceItem item, IEnumerable<Finding> findings, StringBuilder text)
    {
        text.Clear();
        ReasonText.Append(text, fact, item);
        var day = fact.Day;
        return new Reason(
            fact.Code,
            text.ToString(),
            ReasonText.SourcesOf(fact.Code, item),
            SpeaksOfFinding(fact.Code)
                ? [.. findings.Where(finding => finding.ObservedOn.DayNumber == day).Select(finding => finding.Id).Order()]
                : []
        );
    }

    private static bool SpeaksOfFinding(ReasonCode code) =>
        code
            is ReasonCode.SeenOn
                or ReasonCode.AbsentOn
                or ReasonCode.AbsenceMeansLittle
                or ReasonCode.SecondAbsence
                or ReasonCode.AbsenceConfirmed
                or ReasonCode.SidesDiffer
                or ReasonCode.ObligatoryOn
                or ReasonCode.IntegratedOn
                or ReasonCode.SeenAgainOn
                or ReasonCode.InconclusiveOn
                or ReasonCode.NotTestedOn
                or ReasonCode.OneSideOnly
                or ReasonCode.StateNotRecorded
                or ReasonCode.LostAfterEstablished
                or ReasonCode.LessThanBefore
                or ReasonCode.WeakerThanBefore
                or ReasonCode.HoldsSince;
}
