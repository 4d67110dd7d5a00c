using Caseload.Domain.Assignment;
using Google.OrTools.Sat;

namespace Caseload.Optimiser;

/// <summary>The question as the solver sees it: a variable for each child that may move and each clinician who may take it.</summary>
internal sealed class AssignmentModel
{
    private readonly CpModel _model = new();
    private readonly AssignmentProblem _problem;
    private readonly List<AssignmentChild> _movable;
    private readonly Dictionary<(Guid Child, Guid Clinician), BoolVar> _sees = [];
    private readonly Dictionary<Guid, BoolVar> _waits = [];
    private readonly LinearExpr[] _aims;
    private readonly List<IntVar> _over = [];
    private readonly IntVar _tenths;
    private readonly IntVar _fullest;
    private readonly IntVar _emptiest;

    /// <param name="problem">The question.</param>
    /// <param name="start">A first answer, whose pairs are always tried.</param>
    /// <param name="candidates">How many clinicians are tried for a child besides the present one.</param>
    internal AssignmentModel(AssignmentProblem problem, Dictionary<Guid, Guid?> start, int candidates)
    {
        _problem = problem;
        _movable = [.. problem.Children.Where(problem.IsMovable).OrderBy(child => child.Id)];
        var today = problem.Today();
        foreach (var child in _movable)
        {
            var able = problem.Clinicians.Where(clinician => problem.BarOf(child, clinician) is null).ToList();
            var tried = able.OrderBy(clinician => clinician.Id == today[child.Id] || clinician.Id == start[child.Id] ? 0 : 1)
                .ThenBy(clinician => AssignmentProblem.Speaks(clinician, child) ? 0 : 1)
                .ThenBy(clinician => problem.MinutesOf(child, clinician))
                // Spreads the children over the clinicians, in the same way every time.
                .ThenBy(clinician => HashCodeOf(child.Id, clinician.Id))
                .Take(candidates + 2)
                .ToList();
            IsComplete &= tried.Count == able.Count;
            foreach (var clinician in tried)
            {
                _sees[(child.Id, clinician.Id)] = _model.NewBoolVar("");
            }
            List<ILiteral> one = [.. tried.Select(clinician => (ILiteral)_sees[(child.Id, clinician.Id)])];
            if (problem.MayWait(child))
            {
                _waits[child.Id] = _model.NewBoolVar("");
                one.Add(_waits[child.Id]);
            }
            _model.AddExactlyOne(one);
        }
        (_fullest, _emptiest) = AddLimits(today);
        _tenths = _model.NewIntVar(0, 10_000, "tenths");
        _model.Add(_fullest <= 100 * _tenths);
        _aims =
        [
            Sum(_movable.Where(child => _waits.ContainsKey(child.Id)).Select(child => (_waits[child.Id], AssignmentScore.WeightOf(child)))),
            LinearExpr.Sum(_over),
            SumOverPairs((child, clinician) => AssignmentProblem.Speaks(clinician, child) ? 0 : 1),
            SumOverPairs(
                (child, clinician) =>
                    problem.Scope == AssignmentScope.Rebalance && child.CurrentId is not null && child.CurrentId != clinician.Id
                        ? child.WeeksTogether + 1
                        : 0
            ),
            _tenths,
            SumOverPairs((child, clinician) => problem.MinutesOf(child, clinician) - Workload.Of(child.Work, [], problem.Policy).Minutes),
            _fullest - _emptiest,
        ];
    }

    /// <summary>Whether every clinician who may take a child is tried; only then can an answer be proved best.</summary>
    internal bool IsComplete { get; private set; } = true;

    /// <summary>Betters one aim without giving up what was reached for those before it.</summary>
    /// <returns>The answer, never worse than the one it started from, and whether none is better in this aim.</returns>
    internal (Dictionary<Guid, Guid?> Assignment, bool IsOptimal) Improve(
        int stage,
        Dictionary<Guid, Guid?> start,
        double seconds,
        double effort,
        CancellationToken ct
    )
    {
        _model.ClearHints();
        foreach (var ((child, clinician), sees) in _sees)
        {
            _model.AddHint(sees, start[child] == clinician ? 1 : 0);
        }
        _model.Minimize(_aims[stage]);
        using var solver = new CpSolver
        {
            StringParameters = FormattableString.Invariant(
                $"num_workers:1 random_seed:20261126 max_time_in_seconds:{seconds:0.###} max_deterministic_time:{effort:0.###}"
            ),
        };
        CpSolverStatus status;
        using (ct.Register(solver.StopSearch))
        {
            status = solver.Solve(_model);
        }
        if (status is not (CpSolverStatus.Optimal or CpSolverStatus.Feasible))
        {
            return (start, false);
        }
        var found = start.ToDictionary(pair => pair.Key, pair => pair.Value);
        foreach (var child in _movable)
        {
            found[child.Id] = _problem
                .Clinicians.Where(clinician => _sees.TryGetValue((child.Id, clinician.Id), out var sees) && solver.BooleanValue(sees))
                .Select(clinician => (Guid?)clinician.Id)
                .FirstOrDefault();
        }
        // The search may have ended before it came back to where it began.
        var (before, after) = (AssignmentScore.Of(_problem, start), AssignmentScore.Of(_problem, found));
        var isWorse = before.IsBetterThan(after);
        _model.Add(_aims[stage] <= ValueOf(stage, isWorse ? before : after));
        return (isWorse ? start : found, status == CpSolverStatus.Optimal);
    }

    private static long ValueOf(int stage, AssignmentScore score) =>
        stage switch
        {
            0 => score.Waiting,
            1 => score.OverMinutes,
            2 => score.Mismatches,
            3 => score.LostWeeks,
            4 => score.FullestTenths,
            5 => score.FarMinutes,
            _ => score.Spread,
        };

    /// <summary>Room and places are never exceeded; and the fullest and the emptiest load, in thousandths of the capacity.</summary>
    private (IntVar Fullest, IntVar Emptiest) AddLimits(IReadOnlyDictionary<Guid, Guid?> today)
    {
        var counted = AssignmentScore.Counted(_problem).Select(clinician => clinician.Id).ToHashSet();
        var fullest = _model.NewIntVar(0, 1_000_000, "fullest");
        var emptiest = _model.NewIntVar(0, 1_000_000, "emptiest");
        if (counted.Count == 0)
        {
            _model.Add(fullest == 0);
            _model.Add(emptiest == 0);
        }
        foreach (var clinician in _problem.Clinicians)
        {
            var stays = _problem.Children.Where(child => !_problem.IsMovable(child) && today[child.Id] == clinician.Id).ToList();
            var pairs = _movable.Where(child => _sees.ContainsKey((child.Id, clinician.Id))).ToList();
            var minutes =
                Sum(pairs.Select(child => (_sees[(child.Id, clinician.Id)], (long)_problem.MinutesOf(child, clinician))))
                + stays.Sum(child => (long)_problem.MinutesOf(child, clinician));
            _model.Add(minutes <= _problem.RoomOf(clinician));
            if (_problem.PlacesOf(clinician) is { } most)
            {
                _model.Add(Sum(pairs.Select(child => (_sees[(child.Id, clinician.Id)], 1L))) + stays.Count <= most);
            }
            if (counted.Contains(clinician.Id))
            {
                var over = _model.NewIntVar(0, 1_000_000, "");
                _model.Add(minutes <= over + clinician.CapacityMinutes);
                _over.Add(over);
                _model.Add(minutes * 1000 <= fullest * clinician.CapacityMinutes);
                _model.Add(minutes * 1000 >= emptiest * clinician.CapacityMinutes);
            }
        }
        return (fullest, emptiest);
    }

    private LinearExpr SumOverPairs(Func<AssignmentChild, AssignmentClinician, long> costOf)
    {
        var children = _movable.ToDictionary(child => child.Id);
        var clinicians = _problem.Clinicians.ToDictionary(clinician => clinician.Id);
        return Sum(
            _sees
                .Select(pair => (pair.Value, Cost: costOf(children[pair.Key.Child], clinicians[pair.Key.Clinician])))
                .Where(pair => pair.Cost != 0)
        );
    }

    private static LinearExpr Sum(IEnumerable<(BoolVar Variable, long Weight)> terms)
    {
        var (variables, weights) = (new List<BoolVar>(), new List<long>());
        foreach (var (variable, weight) in terms)
        {
            variables.Add(variable);
            weights.Add(weight);
        }
        return variables.Count == 0 ? LinearExpr.Constant(0) : LinearExpr.WeightedSum(variables, weights);
    }

    private static int HashCodeOf(Guid child, Guid clinician)
    {
        Span<byte> bytes = stackalloc byte[32];
        child.TryWriteBytes(bytes);
        clinician.TryWriteBytes(bytes[16..]);
        var hash = 17;
        foreach (var value in bytes)
        {
            hash = unchecked((hash * 31) + value);
        }
        return hash;
    }
}
