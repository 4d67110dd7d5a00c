using System.Diagnostics;
using Caseload.Domain.Assignment;

namespace Caseload.Optimiser;

/// <summary>An answer to the question who sees whom.</summary>
/// <param name="Assignment">Who sees each child; null for nobody. Keeps every hard rule.</param>
/// <param name="Score">How good it is.</param>
/// <param name="Quality">How good it is known to be.</param>
public sealed record SearchAnswer(IReadOnlyDictionary<Guid, Guid?> Assignment, AssignmentScore Score, SearchQuality Quality);

/// <summary>Searches for the best assignment, one aim after the other: each stage keeps what the earlier ones reached.</summary>
/// <remarks>
/// A constraint solver does the search (CP-SAT), with one worker, a fixed seed and deterministic time. It starts from an answer that is found
/// by hand and is never worse; what it returns is checked by the caller with <see cref="AssignmentCheck"/>, which knows nothing of the model.
/// </remarks>
public static class AssignmentSearch
{
    private static readonly string[] _aims =
    [
        "as few waiting children as possible, the longest waiting and the urgent first",
        "nobody with more than there is time for",
        "clinicians who speak the family's language",
        "children stay with whom they know",
        "nobody fuller than needed",
        "little travel",
        "loads close to each other",
    ];

    /// <summary>Searches.</summary>
    /// <param name="problem">The question.</param>
    /// <param name="limits">How long it may take.</param>
    /// <param name="progress">Told of each stage; may be null.</param>
    /// <param name="ct">Stops the search; the best answer so far is returned.</param>
    public static SearchAnswer Find(
        AssignmentProblem problem,
        SearchLimits limits,
        IProgress<SearchProgress>? progress,
        CancellationToken ct
    )
    {
        var began = Stopwatch.GetTimestamp();
        var best = Greedy.Start(problem);
        var model = new AssignmentModel(problem, best, limits.Candidates);
        var isProved = model.IsComplete;
        for (var stage = 0; stage < _aims.Length; stage++)
        {
            progress?.Report(new SearchProgress(stage + 1, _aims.Length, _aims[stage]));
            var seconds = limits.Seconds - Stopwatch.GetElapsedTime(began).TotalSeconds;
            if (ct.IsCancellationRequested || seconds <= 0)
            {
                isProved = false;
                break;
            }
            var (found, isOptimal) = model.Improve(stage, best, seconds, limits.Effort, ct);
            isProved &= isOptimal;
            best = found;
        }
        var score = AssignmentScore.Of(problem, best);
        return new SearchAnswer(
            best,
            score,
            new SearchQuality(isProved, AssignmentScore.FullestOf(problem, best), LeastFullest(problem), ct.IsCancellationRequested)
        );
    }

    /// <summary>
    /// What the fullest load cannot be below: the load that stays where it is, and the whole load, each child with whom it makes the least,
    /// spread over all the time there is. Children who may wait are left out.
    /// </summary>
    private static long LeastFullest(AssignmentProblem problem)
    {
        var counted = AssignmentScore.Counted(problem).ToList();
        if (counted.Count == 0)
        {
            return 0;
        }
        var today = problem.Today();
        var placed = problem.Children.Where(child => !problem.MayWait(child) || today[child.Id] is not null).ToList();
        var total = placed.Sum(child => LeastMinutes(problem, child, today[child.Id], counted));
        var spread = 1000 * total / counted.Sum(clinician => (long)clinician.CapacityMinutes);
        var staying = counted.Max(clinician =>
            1000
            * problem
                .Children.Where(child => !problem.IsMovable(child) && today[child.Id] == clinician.Id)
                .Sum(child => (long)problem.MinutesOf(child, clinician))
            / clinician.CapacityMinutes
        );
        return Math.Max(spread, staying);
    }

    private static long LeastMinutes(AssignmentProblem problem, AssignmentChild child, Guid? todayId, List<AssignmentClinician> counted)
    {
        // With somebody who is away a child makes no load that counts, as long as it stays there.
        var stays = counted.Find(clinician => clinician.Id == todayId);
        if (stays is null || !problem.IsMovable(child))
        {
            return stays is null ? 0 : problem.MinutesOf(child, stays);
        }
        return counted
            .Where(clinician => problem.BarOf(child, clinician) is null)
            .Min(clinician => (long)problem.MinutesOf(child, clinician));
    }
}
