namespace Caseload.Domain.Statistics;

/// <summary>The middle of whole numbers, such as days until an answer.</summary>
public static class Median
{
    /// <summary>The middle value in order; with an even number of values, the mean of the two in the middle.</summary>
    /// <param name="values">In any order; not changed.</param>
    /// <returns>The median, a whole number or a half; null when there are no values.</returns>
    public static double? Of(IEnumerable<int> values)
    {
        var ordered = values.Order().ToList();
        return ordered.Count == 0 ? null : ((double)ordered[(ordered.Count - 1) / 2] + ordered[ordered.Count / 2]) / 2;
    }
}
