using Caseload.Domain.Calendar;

namespace Caseload.Domain.Visits;

/// <summary>A child for whom visits are to be planned.</summary>
/// <param name="Id">The child.</param>
/// <param name="Zone">The travel zone of the home; null when it is not known.</param>
/// <param name="Checks">When each due check may be done.</param>
/// <param name="FixedOn">Days on which a visit stands already and stays.</param>
public sealed record RoundChild(Guid Id, string? Zone, IReadOnlyList<DateSpan> Checks, IReadOnlyList<DateOnly> FixedOn);

/// <summary>A proposed visit.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="On">The day.</param>
/// <param name="CheckCount">How many of the due checks can be done on it.</param>
/// <param name="LatestOn">The last day on which all of those can still be done.</param>
public sealed record RoundVisit(Guid ChildId, DateOnly On, int CheckCount, DateOnly LatestOn);

/// <summary>A check for which no day was found.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Check">When it may be done.</param>
/// <param name="IsForWantOfRoom">Whether its days are all full; otherwise the clinician works on none of them.</param>
public sealed record RoundGap(Guid ChildId, DateSpan Check, bool IsForWantOfRoom);

/// <summary>Proposed visits of one clinician.</summary>
/// <param name="Visits">The visits, by day.</param>
/// <param name="Gaps">Checks without a day.</param>
public sealed record RoundPlan(IReadOnlyList<RoundVisit> Visits, IReadOnlyList<RoundGap> Gaps);

/// <summary>Proposes the fewest visits that let every due check be done in its span.</summary>
/// <remarks>
/// For one child this is covering intervals by points: whoever takes the interval that ends first, and for it the last day that is free, needs
/// as few points as there can be (a textbook result on interval covering). Of the days that cover the same checks the planner takes one in
/// whose zone the clinician is anyway, then the emptiest, then the first. Where days are full a child may need one more visit than the fewest.
/// </remarks>
public static class VisitRounds
{
    /// <summary>How long a check whose last day has gone by may still wait.</summary>
    public const int OverdueDays = 6;

    /// <summary>Proposes visits.</summary>
    /// <param name="children">The clinician's children.</param>
    /// <param name="days">Days on which the clinician can go, in order; the first is the earliest that may be planned.</param>
    /// <param name="mostADay">How many visits a day has room for; at least 1.</param>
    /// <returns>The proposal; visits that stand already are not repeated.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A day has room for no visit.</exception>
    public static RoundPlan Propose(IReadOnlyList<RoundChild> children, IReadOnlyList<DateOnly> days, int mostADay)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(mostADay, 1);
        var plan = new Plan(days, mostADay);
        foreach (var child in children)
        {
            foreach (var on in child.FixedOn)
            {
                plan.Put(on, child.Zone);
            }
        }
        // Those with the least time first: they have the fewest days to choose from.
        foreach (
            var child in children
                .OrderBy(child => child.Checks.Count == 0 ? DateOnly.MaxValue : child.Checks.Min(check => check.Through))
                .ThenBy(child => child.Id)
        )
        {
            plan.Add(child);
        }
        return plan.ToPlan();
    }

    private sealed class Plan(IReadOnlyList<DateOnly> days, int mostADay)
    {
        private readonly Dictionary<DateOnly, List<string?>> _taken = [];
        private readonly List<RoundVisit> _visits = [];
        private readonly List<RoundGap> _gaps = [];

        internal void Put(DateOnly on, string? zone)
        {
            if (!_taken.TryGetValue(on, out var zones))
            {
                _taken[on] = zones = [];
            }
            zones.Add(zone);
        }

        internal void Add(RoundChild child)
        {
            var open = child
                .Checks.Select(Reachable)
                .Where(check => !child.FixedOn.Any(check.Contains))
                .OrderBy(check => check.Through)
                .ToList();
            while (open.Count > 0)
            {
                var first = open[0];
                var possible = days.Where(first.Contains).ToList();
                if (possible.Where(HasRoom).ToList() is not { Count: > 0 } free)
                {
                    _gaps.Add(new RoundGap(child.Id, first, possible.Count > 0));
                    open.RemoveAt(0);
                    continue;
                }
                // The last free day meets the most of those that end later; earlier days may meet the same ones.
                var met = open.Where(check => check.Contains(free[^1])).ToList();
                var on = free.Where(day => met.TrueForAll(check => check.Contains(day)))
                    .OrderByDescending(day => ZonesOn(day).Count(zone => zone is not null && zone == child.Zone))
                    .ThenBy(day => ZonesOn(day).Count)
                    .ThenBy(day => day)
                    .First();
                met = [.. open.Where(check => check.Contains(on))];
                _visits.Add(new RoundVisit(child.Id, on, met.Count, met.Min(check => check.Through)));
                Put(on, child.Zone);
                open.RemoveAll(check => check.Contains(on));
            }
        }

        internal RoundPlan ToPlan() => new([.. _visits.OrderBy(visit => visit.On).ThenBy(visit => visit.ChildId)], _gaps);

        private bool HasRoom(DateOnly day) => ZonesOn(day).Count < mostADay;

        private List<string?> ZonesOn(DateOnly day) => _taken.TryGetValue(day, out var zones) ? zones : [];

        /// <summary>An overdue check is to be done within the coming days.</summary>
        private DateSpan Reachable(DateSpan check)
        {
            if (days.Count == 0 || check.Through >= days[0])
            {
                return check;
            }
            return new DateSpan(days[0], days[0].AddDays(OverdueDays));
        }
    }
}
