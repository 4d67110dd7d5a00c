namespace Caseload.Domain.Assignment;

/// <summary>Checks an assignment against every hard rule, without knowing how it was found.</summary>
public static class AssignmentCheck
{
    /// <summary>What is wrong with an assignment, in words for whoever maintains the search; none when it keeps every rule.</summary>
    public static IReadOnlyList<string> Faults(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment)
    {
        var faults = new List<string>();
        var clinicians = problem.Clinicians.ToDictionary(clinician => clinician.Id);
        var minutes = problem.Clinicians.ToDictionary(clinician => clinician.Id, _ => 0);
        var heads = problem.Clinicians.ToDictionary(clinician => clinician.Id, _ => 0);
        if (assignment.Count != problem.Children.Count)
        {
            faults.Add($"{assignment.Count} children are spoken of, and there are {problem.Children.Count}");
        }
        var today = problem.Today();
        foreach (var child in problem.Children)
        {
            var id = assignment[child.Id];
            if (!problem.IsMovable(child) && id != today[child.Id])
            {
                faults.Add($"{child.Code} may not be moved");
            }
            if (id is null)
            {
                if (!problem.MayWait(child))
                {
                    faults.Add($"{child.Code} loses its clinician");
                }
                continue;
            }
            if (!clinicians.TryGetValue(id.Value, out var clinician))
            {
                if (problem.IsMovable(child))
                {
                    faults.Add($"{child.Code} is given to somebody who does not work here");
                }
                continue;
            }
            if (id != today[child.Id])
            {
                if (clinician.IsAway || (problem.Scope == AssignmentScope.Cover && id == problem.AwayId))
                {
                    faults.Add($"{child.Code} is given to somebody who is away");
                }
                if (child.NeverWith.Contains(clinician.Id))
                {
                    faults.Add($"{child.Code} is given to somebody it is never to be with");
                }
                if (child.Discipline is { } needed && needed != clinician.Discipline)
                {
                    faults.Add($"{child.Code} is given to another discipline than it needs");
                }
                if (problem.NeedsLanguage && child.Language is { } language && !clinician.Languages.Contains(language))
                {
                    faults.Add($"{child.Code} is given to somebody without the language");
                }
            }
            minutes[clinician.Id] += Workload.Of(child.Work, clinician.Zones, problem.Policy).Minutes;
            heads[clinician.Id]++;
        }
        foreach (var clinician in problem.Clinicians)
        {
            var before = problem.Children.Where(child => today[child.Id] == clinician.Id).ToList();
            var minutesBefore = before.Sum(child => Workload.Of(child.Work, clinician.Zones, problem.Policy).Minutes);
            if (minutes[clinician.Id] > clinician.CapacityMinutes && minutes[clinician.Id] > minutesBefore)
            {
                faults.Add($"{clinician.Name} is given more minutes than there are");
            }
            if (heads[clinician.Id] > clinician.MostChildren && heads[clinician.Id] > before.Count)
            {
                faults.Add($"{clinician.Name} is given more children than set");
            }
        }
        return faults;
    }
}
