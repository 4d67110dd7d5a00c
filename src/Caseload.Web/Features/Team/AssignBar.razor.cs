using Caseload.Domain;
using Caseload.Web.Platform.Team;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>Where chosen children are given to a clinician: to whom, from when, with which note, and what that does to the load.</summary>
public partial class AssignBar
{
    private const string Nobody = "nobody";

    /// <summary>The form.</summary>
    [Parameter, EditorRequired]
    public AssignForm Form { get; set; } = default!;

    /// <summary>The team.</summary>
    [Parameter, EditorRequired]
    public TeamFacts Team { get; set; } = default!;

    /// <summary>The children chosen.</summary>
    [Parameter, EditorRequired]
    public IReadOnlyList<TeamChild> Children { get; set; } = [];

    /// <summary>What was refused.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Refusals { get; set; } = [];

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Asked for when they shall be given.</summary>
    [Parameter]
    public EventCallback OnAssign { get; set; }

    /// <summary>Asked for when nobody shall be chosen any more.</summary>
    [Parameter]
    public EventCallback OnCancel { get; set; }

    private TeamClinician? Target => Team.Clinicians.FirstOrDefault(row => row.Id == Form.ClinicianId);

    private TeamLoad Before => TeamLoad.Of(Target!, Team.Of(Target!.Id), Team.Policy);

    private TeamLoad After => TeamLoad.Of(Target!, Team.Of(Target!.Id).Concat(Children).DistinctBy(child => child.Id), Team.Policy);

    /// <summary>What the lead should know first. The lead decides: nothing here is refused.</summary>
    private IReadOnlyList<string> Warnings
    {
        get
        {
            var warnings = new List<string>();
            var count = Team.Of(Target!.Id).Concat(Children).DistinctBy(child => child.Id).Count();
            if (After.Minutes > After.CapacityMinutes)
            {
                warnings.Add("That is more than there is time for.");
            }
            if (count > Target.MostChildren)
            {
                warnings.Add($"That makes {count} children; {Target.MostChildren} are set as the most.");
            }
            warnings.AddRange(
                Children
                    .Where(child => child.NeverWith.Contains(Target.Id))
                    .Select(child => $"{child.Code} is not to be brought together with {Target.Name}.")
            );
            warnings.AddRange(
                Children
                    .Where(child => child.Language is { } language && !Target.Languages.Contains(language))
                    .Select(child => $"{child.Code} needs {LanguageTags.NameOf(child.Language!)}, which {Target.Name} is not listed with.")
            );
            warnings.AddRange(
                Children
                    .Where(child => child.NeededDiscipline is { } needed && needed != Target.Discipline)
                    .Select(child => $"{child.Code} needs {DisciplineWords.Of(child.NeededDiscipline!.Value)}.")
            );
            return warnings;
        }
    }

    private void Choose(ChangeEventArgs change)
    {
        Form.IsNobody = change.Value as string == Nobody;
        Form.ClinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;
    }
}
