using Caseload.Domain.Calendar;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Domain.Visits;

/// <summary>A condition of a child over a time.</summary>
/// <param name="Exclusion">The condition.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day; null while it lasts.</param>
public sealed record ChildExclusion(Exclusion Exclusion, DateOnly FromOn, DateOnly? ThroughOn)
{
    /// <summary>Whether it holds on a day.</summary>
    public bool HoldsOn(DateOnly on) => FromOn <= on && (ThroughOn is null || on <= ThroughOn);
}

/// <summary>An item to check at a visit.</summary>
/// <param name="Item">The item.</param>
/// <param name="Purpose">What the check is for; <see cref="CheckPurpose.None"/> when only a recorded concern asks for it.</param>
/// <param name="Span">When it is due; null when only a recorded concern asks for it.</param>
/// <param name="State">Where the child stands with it.</param>
/// <param name="Concern">How much attention the state asks for.</param>
/// <param name="RelatedTo">Names of recorded concerns it may be related to.</param>
/// <param name="IsOverdue">Whether its last day has gone by.</param>
public sealed record VisitItem(
    ReferenceItem Item,
    CheckPurpose Purpose,
    DateSpan? Span,
    ItemState State,
    Concern Concern,
    IReadOnlyList<string> RelatedTo,
    bool IsOverdue
);

/// <summary>Why an item that is due is not part of a plan.</summary>
public enum LeftOutBecause
{
    /// <summary>A condition of the child rules it out.</summary>
    Excluded,

    /// <summary>It would be more handling than a visit should ask for.</summary>
    HandlingBudget,
}

/// <summary>An item that is due and not planned.</summary>
/// <param name="Item">The item that would have been checked.</param>
/// <param name="Because">The kind of reason.</param>
/// <param name="Text">The reason in words.</param>
public sealed record LeftOutItem(VisitItem Item, LeftOutBecause Because, string Text);

/// <summary>What to check at a visit, in the order that handles the infant least, and what was left out and why.</summary>
/// <param name="On">The day of the visit.</param>
/// <param name="Planned">The checks in handling order.</param>
/// <param name="LeftOut">What is due and not planned.</param>
/// <param name="Effort">The planned checks' handling effort.</param>
/// <param name="Budget">The most a visit should ask for.</param>
public sealed record VisitPlan(DateOnly On, IReadOnlyList<VisitItem> Planned, IReadOnlyList<LeftOutItem> LeftOut, int Effort, int Budget);

/// <summary>Plans visits.</summary>
public static class VisitPlanner
{
    /// <summary>Plans a visit.</summary>
    /// <remarks>
    /// Taken: every item whose check has begun, and every item that a recorded concern points to, has come to be expected and was
    /// not looked at within the policy's recheck time. The most urgent are kept when the handling budget does not hold them all.
    /// Order (common practice, no source): calm items before those that need an active infant, positions from lying to held,
    /// upsetting items (Moro, suspension) last.
    /// </remarks>
    /// <param name="results">The child's results as of the visit's day.</param>
    /// <param name="recorded">The child's findings.</param>
    /// <param name="exclusions">The child's conditions.</param>
    /// <param name="concerns">Recorded concerns that are not resolved.</param>
    /// <param name="visitOn">The day of the visit.</param>
    /// <param name="policy">The programme's policy.</param>
    public static VisitPlan Plan(
        IReadOnlyList<ItemResult> results,
        IReadOnlyCollection<Finding> recorded,
        IReadOnlyCollection<ChildExclusion> exclusions,
        IReadOnlyCollection<FunctionalConcern> concerns,
        DateOnly visitOn,
        ReviewPolicy policy
    )
    {
        var holding = exclusions.Where(exclusion => exclusion.HoldsOn(visitOn)).Select(exclusion => exclusion.Exclusion).ToHashSet();
        var lastSeenOn = StandingFindings
            .Of(recorded)
            .Where(finding => finding.Response is not null && finding.ObservedOn <= visitOn)
            .GroupBy(finding => finding.Item)
            .ToDictionary(group => group.Key, group => group.Max(finding => finding.ObservedOn));

        var planned = new List<VisitItem>();
        var leftOut = new List<LeftOutItem>();
        var effort = 0;
        foreach (var item in results.Select(Candidate).OfType<VisitItem>().Order(ByUrgency))
        {
            if (item.Item.ExcludedBy.FirstOrDefault(exclusion => holding.Contains(exclusion.Exclusion)) is { } excluded)
            {
                leftOut.Add(new LeftOutItem(item, LeftOutBecause.Excluded, $"{Labels.Of(excluded.Exclusion)}: {excluded.Why}"));
            }
            else if (effort + item.Item.Effort > policy.HandlingBudget)
            {
                leftOut.Add(
                    new LeftOutItem(
                        item,
                        LeftOutBecause.HandlingBudget,
                        $"More handling than one visit should ask for ({policy.HandlingBudget}); less urgent than what is planned."
                    )
                );
            }
            else
            {
                effort += item.Item.Effort;
                planned.Add(item);
            }
        }
        return new VisitPlan(visitOn, [.. planned.Order(ByHandling)], leftOut, effort, policy.HandlingBudget);

        VisitItem? Candidate(ItemResult result)
        {
            var isDue = result.NextCheck is { } check && check.Span.From <= visitOn;
            var isRecent =
                lastSeenOn.TryGetValue(result.Item.Id, out var seenOn) && visitOn.DayNumber - seenOn.DayNumber < policy.RecheckThroughDays;
            var related =
                result.State is ItemState.NotYetExpected || isRecent
                    ? []
                    : concerns.Where(concern => concern.Items.Contains(result.Item.Id)).Select(concern => concern.Name).ToArray();
            return isDue || related.Length > 0
                ? new VisitItem(
                    result.Item,
                    isDue ? result.NextCheck!.Purpose : CheckPurpose.None,
                    isDue ? result.NextCheck!.Span : null,
                    result.State,
                    result.Verdict.Concern,
                    related,
                    isDue && result.NextCheck!.IsOverdue(visitOn)
                )
                : null;
        }
    }

    private static Comparer<VisitItem> ByUrgency { get; } =
        Comparer<VisitItem>.Create(
            (one, other) =>
                First(
                    other.Concern.CompareTo(one.Concern),
                    other.RelatedTo.Count.CompareTo(one.RelatedTo.Count),
                    (one.Span is null).CompareTo(other.Span is null),
                    (one.Span?.Through ?? DateOnly.MaxValue).CompareTo(other.Span?.Through ?? DateOnly.MaxValue),
                    one.Item.Confidence.CompareTo(other.Item.Confidence),
                    one.Item.Effort.CompareTo(other.Item.Effort),
                    string.CompareOrdinal(one.Item.Id, other.Item.Id)
                )
        );

    private static Comparer<VisitItem> ByHandling { get; } =
        Comparer<VisitItem>.Create(
            (one, other) =>
                First(
                    one.Item.Upsetting.CompareTo(other.Item.Upsetting),
                    NeedsActiveInfant(one.Item).CompareTo(NeedsActiveInfant(other.Item)),
                    one.Item.Upsetting ? one.Item.Effort.CompareTo(other.Item.Effort) : 0,
                    one.Item.Position.CompareTo(other.Item.Position),
                    one.Item.Effort.CompareTo(other.Item.Effort),
                    string.CompareOrdinal(one.Item.Id, other.Item.Id)
                )
        );

    private static bool NeedsActiveInfant(ReferenceItem item) => !item.States.Best.Contains(BehaviouralState.QuietAlert);

    private static int First(params ReadOnlySpan<int> comparisons)
    {
        foreach (var comparison in comparisons)
        {
            if (comparison != 0)
            {
                return comparison;
            }
        }
        return 0;
    }
}
