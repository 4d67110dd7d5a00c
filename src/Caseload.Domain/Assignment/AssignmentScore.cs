namespace Caseload.Domain.Assignment;

/// <summary>How good an assignment is, in the order in which it counts: a later figure decides only where all earlier ones are equal.</summary>
/// <param name="Waiting">Children left without anybody, each with 1 and its days of waiting, and 1,000 more with an urgent alert.</param>
/// <param name="OverMinutes">Minutes above the capacities, so that a proposal relieves whoever has too much.</param>
/// <param name="Mismatches">Children who changed to, or stay with, a clinician without the family's language.</param>
/// <param name="LostWeeks">For each child taken from its clinician, the weeks they had together and 1.</param>
/// <param name="FullestTenths">Load of the fullest clinician in tenths of the capacity, rounded up: a finer step is not worth a long way.</param>
/// <param name="FarMinutes">Minutes of load that far travel makes beyond near travel.</param>
/// <param name="Spread">Load of the fullest clinician less that of the emptiest, in thousandths of the capacity.</param>
public sealed record AssignmentScore(
    long Waiting,
    long OverMinutes,
    long Mismatches,
    long LostWeeks,
    long FullestTenths,
    long FarMinutes,
    long Spread
)
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
        var (fullest, emptiest) = RangeOf(problem, loads);
        var over = Counted(problem).Sum(clinician => Math.Max(0, loads[clinician.Id] - clinician.CapacityMinutes));
        return new AssignmentScore(waiting, over, mismatches, lost, (fullest + 99) / 100, far, fullest - emptiest);
    }

    /// <summary>Load of the fullest clinician in thousandths of the capacity, rounded up.</summary>
    public static long FullestOf(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment)
    {
        var loads = problem.Clinicians.ToDictionary(
            clinician => clinician.Id,
            clinician =>
                problem
                    .Children.Where(child => assignment[child.Id] == clinician.Id)
                    .Sum(child => (long)problem.MinutesOf(child, clinician))
        );
        return RangeOf(problem, loads).Fullest;
    }

    private static (long Fullest, long Emptiest) RangeOf(AssignmentProblem problem, Dictionary<Guid, long> loads)
    {
        var shares = Counted(problem).Select(clinician => (clinician.CapacityMinutes, Load: loads[clinician.Id])).ToList();
        return shares.Count == 0
            ? (0, 0)
            : (
                shares.Max(share => (1000 * share.Load + share.CapacityMinutes - 1) / share.CapacityMinutes),
                shares.Min(share => 1000 * share.Load / share.CapacityMinutes)
            );
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
        long[] mine = [Waiting, OverMinutes, Mismatches, LostWeeks, FullestTenths, FarMinutes, Spread];
        long[] theirs =
        [
            other.Waiting,
            other.OverMinutes,
            other.Mismatches,
            other.LostWeeks,
            other.FullestTenths,
            other.FarMinutes,
            other.Spread,
        ];
        return mine.AsSpan().SequenceCompareTo(theirs) < 0;
    }
}
