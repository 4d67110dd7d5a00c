using System.Globalization;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Components.Tests;

/// <summary>Facts with plain defaults; a test states only what it is about.</summary>
internal static class Samples
{
    internal static Interpreter Interpreter { get; } = new(ReferenceSets.Default, ReviewPolicy.Default);

    /// <summary>Born 2026-01-05 at 31+4: expected on 2026-03-05, 59 days later.</summary>
    internal static BirthFacts Preterm { get; } = BirthFacts.Restore(Day("2026-01-05"), 31 * 7 + 4);

    /// <summary>Born 2026-01-05 at 40+0.</summary>
    internal static BirthFacts Term { get; } = BirthFacts.Restore(Day("2026-01-05"), 40 * 7);

    internal static DateOnly TodayOn { get; } = Day("2026-09-01");

    internal static DateOnly Day(string iso) => DateOnly.ParseExact(iso, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    internal static Guid Id(int number) => new(number, 0, 0, [0, 0, 0, 0, 0, 0, 0, 1]);

    internal static ChildAges AgesOf(BirthFacts birth, string on) => ChildAges.Of(birth, Day(on), ReviewPolicy.Default);

    internal static ReferenceItem Item(string id) => ReferenceSets.Default.Find(id)!;

    internal static Finding Seen(
        string item,
        string on,
        Response response,
        Side side = Side.Both,
        BehaviouralState? state = BehaviouralState.QuietAlert
    ) => new(Id(on.GetHashCode(StringComparison.Ordinal)), item, Day(on), side, response, state);

    internal static Finding NotTested(string item, string on, NotTestedReason reason) =>
        new(Id(on.GetHashCode(StringComparison.Ordinal)), item, Day(on), Side.Both, null, null, reason);

    /// <summary>What the domain says about one item.</summary>
    internal static ItemResult Interpreted(string item, BirthFacts birth, string on, params Finding[] findings) =>
        Interpreter.Interpret(new ChildFacts(birth), findings, Day(on)).Single(result => result.Item.Id == item);

    /// <summary>A result made by hand, with a check from one day through another when both are given.</summary>
    internal static ItemResult Result(
        string item,
        ItemState state = ItemState.PresentAsExpected,
        Concern concern = Concern.None,
        string? checkFrom = null,
        string? checkThrough = null,
        CheckPurpose purpose = CheckPurpose.Recheck,
        params ReasonCode[] reasons
    ) =>
        new(
            Item(item),
            new ItemVerdict(
                state,
                0,
                false,
                0,
                0,
                checkFrom is null ? 0 : Day(checkFrom).DayNumber,
                checkThrough is null ? 0 : Day(checkThrough).DayNumber,
                checkFrom is null ? CheckPurpose.None : purpose,
                concern
            ),
            Window("2026-01-05", null, null, null),
            [.. reasons.Select(code => new Reason(code, code.ToString(), [], []))]
        );

    internal static ItemWindow Window(string expectedFrom, string? usualFrom, string? usualThrough, string? latest)
    {
        return new ItemWindow(
            Number(expectedFrom),
            Number(usualFrom),
            Number(usualThrough),
            Number(latest),
            ItemWindow.None,
            ItemWindow.None,
            ItemWindow.None,
            ItemWindow.None,
            ItemWindow.None
        );

        static int Number(string? iso) => iso is null ? ItemWindow.None : Day(iso).DayNumber;
    }
}
