using Caseload.Domain.Reference;

namespace Caseload.Domain.Visits;

/// <summary>Which planned checks the coming days need.</summary>
public static class DueRule
{
    /// <summary>Whether a check's last day has gone by.</summary>
    /// <param name="checkThroughOn">Last day of the check; null when none is planned.</param>
    /// <param name="on">The day of the question.</param>
    public static bool IsOverdue(DateOnly? checkThroughOn, DateOnly on) => checkThroughOn < on;

    /// <summary>Whether a condition that the child has rules the item out.</summary>
    public static bool IsRuledOut(ReferenceItem item, IReadOnlyCollection<Exclusion> holding) =>
        item.ExcludedBy.Any(rule => holding.Contains(rule.Exclusion));
}
