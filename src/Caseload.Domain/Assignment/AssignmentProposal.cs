using System.Globalization;

namespace Caseload.Domain.Assignment;

/// <summary>A child that a proposal gives to somebody.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="FromId">Who is responsible today; null for nobody.</param>
/// <param name="ToId">Who would see the child.</param>
/// <param name="Reasons">Why, in words.</param>
public sealed record ProposedMove(Guid ChildId, Guid? FromId, Guid ToId, IReadOnlyList<string> Reasons);

/// <summary>A child that a proposal finds nobody for.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Why">Why not, in words.</param>
public sealed record UnplacedChild(Guid ChildId, string Why);

/// <summary>The load of a clinician before and after.</summary>
/// <param name="ClinicianId">The clinician.</param>
/// <param name="BeforeMinutes">Minutes today.</param>
/// <param name="AfterMinutes">Minutes with the proposal.</param>
/// <param name="CapacityMinutes">Minutes there are.</param>
public sealed record ProposedLoad(Guid ClinicianId, int BeforeMinutes, int AfterMinutes, int CapacityMinutes);

/// <summary>A proposal who sees whom. Nothing changes before somebody accepts it.</summary>
/// <param name="Moves">The moves, by child's code.</param>
/// <param name="Unplaced">Children without anybody.</param>
/// <param name="Loads">Every clinician's load before and after.</param>
public sealed record AssignmentProposal(
    IReadOnlyList<ProposedMove> Moves,
    IReadOnlyList<UnplacedChild> Unplaced,
    IReadOnlyList<ProposedLoad> Loads
)
{
    /// <summary>Puts an assignment into words, compared with today.</summary>
    public static AssignmentProposal Of(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment)
    {
        var today = problem.Today();
        var clinicians = problem.Clinicians.ToDictionary(clinician => clinician.Id);
        var loads = problem
            .Clinicians.Select(clinician => new ProposedLoad(
                clinician.Id,
                LoadOf(problem, today, clinician),
                LoadOf(problem, assignment, clinician),
                clinician.CapacityMinutes
            ))
            .ToDictionary(load => load.ClinicianId);
        var moves = problem
            .Children.Where(child => assignment[child.Id] is not null && assignment[child.Id] != today[child.Id])
            .OrderBy(child => child.Code, StringComparer.Ordinal)
            .Select(child => new ProposedMove(
                child.Id,
                child.CurrentId,
                assignment[child.Id]!.Value,
                [.. ReasonsOf(problem, child, clinicians, clinicians[assignment[child.Id]!.Value], assignment, loads)]
            ))
            .ToList();
        var unplaced = problem
            .Children.Where(child => problem.IsMovable(child) && assignment[child.Id] is null)
            .OrderBy(child => child.Code, StringComparer.Ordinal)
            .Select(child => new UnplacedChild(child.Id, WhyNot(problem, child)))
            .ToList();
        return new AssignmentProposal(moves, unplaced, [.. loads.Values]);
    }

    private static int LoadOf(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment, AssignmentClinician clinician) =>
        problem.Children.Where(child => assignment[child.Id] == clinician.Id).Sum(child => problem.MinutesOf(child, clinician));

    private static IEnumerable<string> ReasonsOf(
        AssignmentProblem problem,
        AssignmentChild child,
        Dictionary<Guid, AssignmentClinician> clinicians,
        AssignmentClinician to,
        IReadOnlyDictionary<Guid, Guid?> assignment,
        Dictionary<Guid, ProposedLoad> loads
    )
    {
        if (child.Language is not null)
        {
            var others = problem.Clinicians.Any(other => problem.BarOf(child, other) is null && AssignmentProblem.Speaks(other, child));
            yield return AssignmentProblem.Speaks(to, child) ? $"speaks the family's language ({child.Language})"
            : others ? $"does not speak the family's language ({child.Language})"
            : $"does not speak the family's language ({child.Language}); nobody who may see the child does";
        }
        if (child.Discipline is not null)
        {
            yield return "has the discipline the child needs";
        }
        if (child.Work.Zone is { } zone)
        {
            var others = problem.Children.Count(other => other.Id != child.Id && other.Work.Zone == zone && assignment[other.Id] == to.Id);
            if (Workload.IsNear(zone, to.Zones))
            {
                yield return others == 0
                    ? $"works in {zone}"
                    : $"works in {zone}, with {(others == 1 ? "one other child" : $"{others} other children")} there";
            }
            else
            {
                yield return $"does not usually work in {zone}";
            }
        }
        if (problem.Scope == AssignmentScope.Rebalance && child.CurrentId is { } fromId && clinicians.TryGetValue(fromId, out var from))
        {
            yield return $"{from.Name}'s load {PercentOf(loads[fromId])}";
            yield return string.Create(CultureInfo.InvariantCulture, $"they had {child.WeeksTogether} weeks together");
        }
        yield return $"{to.Name}'s load {PercentOf(loads[to.Id])}";
    }

    private static string PercentOf(ProposedLoad load) =>
        load.CapacityMinutes == 0
            ? "without working time"
            : string.Create(
                CultureInfo.InvariantCulture,
                $"{100.0 * load.BeforeMinutes / load.CapacityMinutes:0} % → {100.0 * load.AfterMinutes / load.CapacityMinutes:0} %"
            );

    /// <summary>The rules that keep everybody from taking a child; the room is named for those whom no other rule keeps.</summary>
    private static string WhyNot(AssignmentProblem problem, AssignmentChild child)
    {
        if (problem.Clinicians.Count == 0)
        {
            return "Nobody works here.";
        }
        var bars = problem
            .Clinicians.GroupBy(clinician => problem.BarOf(child, clinician) ?? AssignmentBar.Room)
            .OrderByDescending(group => group.Key)
            .Select(group => WordsOf(group.Key, [.. group.Select(clinician => clinician.Name)]));
        return string.Join("; ", bars) + ".";
    }

    private static string WordsOf(AssignmentBar bar, IReadOnlyList<string> names) =>
        bar switch
        {
            AssignmentBar.Away => $"away: {string.Join(", ", names)}",
            AssignmentBar.NeverPair => $"not to be brought together: {string.Join(", ", names)}",
            AssignmentBar.Discipline => $"of another discipline: {string.Join(", ", names)}",
            AssignmentBar.Language => $"without the language: {string.Join(", ", names)}",
            _ => $"no room left: {string.Join(", ", names)}",
        };
}
