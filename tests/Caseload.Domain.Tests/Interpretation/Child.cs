using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>A child with findings on one item, built up sentence by sentence; dates are months and days of age.</summary>
/// <remarks>Ages count from the anchor: the expected date for a child born preterm, the birth date for a child born at term.</remarks>
internal sealed class Child
{
    private static readonly Interpreter Default = new(ReferenceSets.Default, ReviewPolicy.Default);

    private readonly List<Finding> _findings = [];
    private readonly DateOnly _anchorOn;
    private string _item = "moro";

    private Child(BirthFacts birth)
    {
        Facts = new ChildFacts(birth);
        _anchorOn = birth.AnchorOn(ReviewPolicy.Default.CorrectBelowDays);
    }

    internal ChildFacts Facts { get; private set; }

    internal IReadOnlyList<Finding> Findings => _findings;

    /// <summary>Born on 5 January 2026 at 40 weeks.</summary>
    internal static Child AtTerm() => new(Births.Of(Day.Of("2026-01-05"), 40, 0));

    /// <summary>Born on 5 January 2026 at 28 weeks; expected on 30 March 2026.</summary>
    internal static Child Preterm() => new(Births.Of(Day.Of("2026-01-05"), 28, 0));

    /// <summary>The item that the next sentences speak of.</summary>
    internal Child On(string item)
    {
        _item = item;
        return this;
    }

    /// <summary>The day the programme took the child on.</summary>
    internal Child FollowedFrom(int months, int days)
    {
        Facts = Facts with { FollowedFromOn = DayAt(months, days) };
        return this;
    }

    /// <summary>A response on both sides at an age, in quiet alertness.</summary>
    internal Child Seen(int months, int days, Response response) => Seen(months, days, response, Side.Both);

    /// <summary>A response on a side at an age, in quiet alertness.</summary>
    internal Child Seen(int months, int days, Response response, Side side) =>
        Add(months, days, response, side, BehaviouralState.QuietAlert);

    /// <summary>A response in a given state; null when the state was not recorded.</summary>
    internal Child SeenIn(int months, int days, Response response, BehaviouralState? state) =>
        Add(months, days, response, Side.Both, state);

    /// <summary>A check that could not be done.</summary>
    internal Child NotTested(int months, int days)
    {
        _findings.Add(new Finding(NextId(), _item, DayAt(months, days), Side.Both, null, null, NotTestedReason.JustFed));
        return this;
    }

    /// <summary>The date of an age.</summary>
    internal DateOnly DayAt(int months, int days) => _anchorOn.AddMonths(months).AddDays(days);

    /// <summary>The answer for the item at an age.</summary>
    internal ItemResult At(int months, int days) => At(months, days, Default);

    /// <summary>The answer for the item at an age, by another interpreter.</summary>
    internal ItemResult At(int months, int days, Interpreter interpreter) =>
        interpreter.Interpret(Facts, _findings, DayAt(months, days)).Single(result => result.Item.Id == _item);

    private Child Add(int months, int days, Response response, Side side, BehaviouralState? state)
    {
        _findings.Add(new Finding(NextId(), _item, DayAt(months, days), side, response, state));
        return this;
    }

    private Guid NextId() => new(_findings.Count + 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0);
}
