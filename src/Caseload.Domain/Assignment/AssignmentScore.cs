namespace Caseload.Domain.Assignment;

/// <summary>How good an assignment is, in the order in which it counts: a later figure decides only where all earlier ones are equal.</summary>
/// <param name="Waiting">Children left without anybody, each with 1 and its days of waiting, and 1,000 more with an urgent alert.</param>
/// <param name="Mismatches">Children who changed to, or stay with, a clinician without the family's language.</param>
/// <param name="LostWeeks">For each child taken from its clinician, the weeks they had together and 1.</param>
/// <param name="Fullest">Load of the fullest clinician in thousandths of the capacity, rounded up.</param>
/// <param name="Spread">That less the load of the emptiest, rounded down.</param>
/// <param name="FarMinutes">Minutes of load that far travel makes beyond near travel.</param>
public sealed record AssignmentScore(long Waiting, long Mismatches, long LostWeeks, long Fullest, long Spread, long FarMinutes)
{
    /// <summary>What an urgent alert counts among those who wait.</summary>
    public const int UrgentWeight = 1000;

    /// <summary>What a child counts that is left waiting.</summary>
    public static long WeightOf(AssignmentChild child) => 1 + child.WaitingDays + (child.HasUrgentAlert ? UrgentWeight : 0);

    /// <summary>Scores an assignment.</summary>
    public static AssignmentScore Of(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment)
    {
        var clinicians = problem.Clinicians.ToDictionary(clinician => clinician.Id);
        var loads = problem.Clinicians.ToDictionary(clinician => clinician.Id, _ => 0L);
        long waiting = 0;
        long mismatches = 0;
        long lost = 0;
        long far = 0;
        foreach (var child in problem.Children)
        {
            if (assignment[child.Id] is not { } id)
            {
                waiting += problem.IsMovable(child) ? WeightOf(child) : 0;
                continue;
            }
            if (!clinicians.TryGetValue(id, out var clinician))
            {
                continue;
            }
            var minutes = problem.MinutesOf(child, clinician);
            loads[id] += minutes;
            if (!problem.IsMovable(child))
            {
                continue;
            }
            mismatches += AssignmentProblem.Speaks(clinician, child) ? 0 : 1;
            lost +=
                problem.Scope == AssignmentScope.Rebalance && child.CurrentId is not null && child.CurrentId != id
                    ? child.WeeksTogether + 1
                    : 0;
            far += minutes - Workload.Of(child.Work, [], problem.Policy).Minutes;
        }
        var shares = Counted(problem).Select(clinician => (clinician.CapacityMinutes, Load: loads[clinician.Id])).ToList();
        var fullest = shares.Count == 0 ? 0 : shares.Max(share => (1000 * share.Load + share.CapacityMinutes - 1) / share.CapacityMinutes);
        var emptiest = shares.Count == 0 ? 0 : shares.Min(share => 1000 * share.Load / share.CapacityMinutes);
        return new AssignmentScore(waiting, mismatches, lost, fullest, fullest - emptiest, far);
    }

    /// <summary>Clinicians whose load counts for the balance: those who are here and have working time.</summary>
    public static IEnumerable<AssignmentClinician> Counted(AssignmentProblem problem) =>
        problem.Clinicians.Where(clinician =>
            clinician.CapacityMinutes > 0
            && !clinician.IsAway
            && !(problem.Scope == AssignmentScope.Cover && clinician.Id == problem.AwayId)
        );

    /// <summary>Whether this is better than another, and not only as good.</summary>
    public bool IsBetterThan(AssignmentScore other)
    {
        long[] mine = [Waiting, Mismatches, LostWeeks, Fullest, Spread, FarMinutes];
        long[] theirs = [other.Waiting, other.Mismatches, other.LostWeeks, other.Fullest, other.Spread, other.FarMinutes];
        return mine.AsSpan().SequenceCompareTo(theirs) < 0;
    }
}
