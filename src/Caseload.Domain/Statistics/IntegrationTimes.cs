using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Statistics;

/// <summary>When a response integrated, as far as looks tell: between the last look that found it and the first that did not.</summary>
public static class IntegrationTimes
{
    /// <summary>Fewer children than this, and no curve is drawn: an assumption of ours, so that no single child can be told from it.</summary>
    public const int LeastChildren = 20;

    /// <summary>Days of a month on average.</summary>
    public const double DaysOfMonth = 30.4375;

    /// <summary>The time in which one child's response integrated, in months of corrected age.</summary>
    /// <remarks>
    /// Integrated is what two looks in a row found absent on both sides, the first of them being the time; so one absence that the next look
    /// contradicts does not count, and what comes back after two is another matter, which alerts tell. A look that could not be judged is
    /// passed over. Before the first look nothing is known, from the expected date on.
    /// </remarks>
    /// <param name="looks">What the days say about the item, in any order.</param>
    /// <param name="anchorDay">The day number from which corrected age counts.</param>
    /// <returns>The interval; open-ended while it has not integrated; null when no look says anything.</returns>
    public static EventInterval? Of(IEnumerable<DayEvidence> looks, int anchorDay)
    {
        double? lastSeen = null;
        double? absentSince = null;
        var isAny = false;
        foreach (var look in looks.Where(look => look.IsConclusive && (look.Top > 0 || look.HasBothSides)).OrderBy(look => look.Day))
        {
            isAny = true;
            var age = Math.Max(0, (look.Day - anchorDay) / DaysOfMonth);
            if (look.Top > 0)
            {
                (lastSeen, absentSince) = (age, null);
            }
            else if (absentSince is { } since)
            {
                return new EventInterval(lastSeen ?? 0, since);
            }
            else
            {
                absentSince = age;
            }
        }
        return isAny ? EventInterval.NotBy(lastSeen ?? 0) : null;
    }
}
