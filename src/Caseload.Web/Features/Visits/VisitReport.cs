using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;

namespace Caseload.Web.Features.Visits;

/// <summary>An item that was looked at: where the child stood with it before the visit and where after.</summary>
/// <param name="Before">As of the visit's day, without the visit's findings.</param>
/// <param name="After">As of the visit's day, with them.</param>
/// <param name="TellBy">How soon somebody is to be told; null when nothing asks for it.</param>
/// <param name="FirstResponse">Who is told; null when nothing asks for it.</param>
public sealed record CheckedItem(ItemResult Before, ItemResult After, TellBy? TellBy, FirstResponse? FirstResponse)
{
    /// <summary>Whether the visit changed the state, its step or its confirmation.</summary>
    public bool HasChanged =>
        Before.State != After.State || Before.Verdict.Step != After.Verdict.Step || Before.Verdict.IsConfirmed != After.Verdict.IsConfirmed;
}

/// <summary>What a finished visit changed, whom to tell, and what comes next. Derived each time from the findings.</summary>
/// <param name="Items">Every item looked at, most urgent first.</param>
/// <param name="StillDue">Checks that had begun on the visit's day and remain.</param>
/// <param name="NextChecks">Checks that begin later, earliest first.</param>
/// <param name="HasLaterFindings">Whether findings of later days exist, so that the child may stand elsewhere today.</param>
public sealed record VisitReport(
    IReadOnlyList<CheckedItem> Items,
    IReadOnlyList<ItemResult> StillDue,
    IReadOnlyList<ItemResult> NextChecks,
    bool HasLaterFindings
)
{
    /// <summary>Derives the report.</summary>
    /// <param name="interpreter">The set the findings were recorded with, and the policy.</param>
    /// <param name="child">The child.</param>
    /// <param name="recorded">Everything recorded for the child, the visit's findings included.</param>
    /// <param name="visitFindingIds">The visit's findings and their corrections.</param>
    /// <param name="visitedOn">The visit's day.</param>
    public static VisitReport Of(
        Interpreter interpreter,
        ChildFacts child,
        IReadOnlyCollection<Finding> recorded,
        IReadOnlySet<Guid> visitFindingIds,
        DateOnly visitedOn
    )
    {
        var touched = recorded.Where(finding => visitFindingIds.Contains(finding.Id)).Select(finding => finding.Item).ToHashSet();
        var before = interpreter.Interpret(child, [.. recorded.Where(finding => !visitFindingIds.Contains(finding.Id))], visitedOn);
        var after = interpreter.Interpret(child, recorded, visitedOn);
        var isNewborn = CalendarAge.Between(child.Birth.BornOn, visitedOn).TotalDays < TellUrgency.NewbornDays;
        var items = before
            .Zip(after)
            .Where(pair => touched.Contains(pair.Second.Item.Id))
            .Select(pair => Compare(pair.First, pair.Second, isNewborn))
            .OrderBy(item => item.TellBy ?? (TellBy)int.MaxValue)
            .ThenByDescending(item => item.After.Verdict.Concern)
            .ThenByDescending(item => item.HasChanged);
        return new VisitReport(
            [.. items],
            [.. after.Where(result => result.NextCheck?.Span.From <= visitedOn).OrderBy(result => result.NextCheck!.Span.Through)],
            [.. after.Where(result => result.NextCheck?.Span.From > visitedOn).OrderBy(result => result.NextCheck!.Span.From)],
            recorded.Any(finding => finding.ObservedOn > visitedOn)
        );
    }

    private static CheckedItem Compare(ItemResult before, ItemResult after, bool isNewborn)
    {
        var (state, step, isConfirmed) = (after.State, after.Verdict.Step, after.Verdict.IsConfirmed);
        return new CheckedItem(
            before,
            after,
            TellUrgency.Of(state, step, isConfirmed, before.State != state, isNewborn),
            FirstResponses.For(state, step, isConfirmed)
        );
    }
}
