using Caseload.Domain.Assignment;

namespace Caseload.Optimiser;

/// <summary>A first answer: today's, with each waiting child given to whoever suits best and has room, the most pressing first.</summary>
internal static class Greedy
{
    internal static Dictionary<Guid, Guid?> Start(AssignmentProblem problem)
    {
        var assignment = problem.Today().ToDictionary(pair => pair.Key, pair => pair.Value);
        var minutes = problem.Clinicians.ToDictionary(clinician => clinician.Id, _ => 0);
        var heads = problem.Clinicians.ToDictionary(clinician => clinician.Id, _ => 0);
        foreach (var clinician in problem.Clinicians)
        {
            foreach (var child in problem.Children.Where(child => assignment[child.Id] == clinician.Id))
            {
                minutes[clinician.Id] += problem.MinutesOf(child, clinician);
                heads[clinician.Id]++;
            }
        }
        var room = problem.Clinicians.ToDictionary(clinician => clinician.Id, problem.RoomOf);
        var places = problem.Clinicians.ToDictionary(clinician => clinician.Id, problem.PlacesOf);
        var waiting = problem
            .Children.Where(child => problem.IsMovable(child) && assignment[child.Id] is null)
            .OrderByDescending(AssignmentScore.WeightOf)
            .ThenBy(child => child.Id);
        foreach (var child in waiting)
        {
            var to = problem
                .Clinicians.Where(clinician => problem.BarOf(child, clinician) is null)
                .Where(clinician => minutes[clinician.Id] + problem.MinutesOf(child, clinician) <= room[clinician.Id])
                .Where(clinician => places[clinician.Id] is not { } most || heads[clinician.Id] < most)
                .OrderBy(clinician => AssignmentProblem.Speaks(clinician, child) ? 0 : 1)
                .ThenBy(clinician =>
                    clinician.CapacityMinutes == 0
                        ? double.MaxValue
                        : (double)(minutes[clinician.Id] + problem.MinutesOf(child, clinician)) / clinician.CapacityMinutes
                )
                .ThenBy(clinician => clinician.Id)
                .FirstOrDefault();
            if (to is null)
            {
                continue;
            }
            assignment[child.Id] = to.Id;
            minutes[to.Id] += problem.MinutesOf(child, to);
            heads[to.Id]++;
        }
        return assignment;
    }
}
