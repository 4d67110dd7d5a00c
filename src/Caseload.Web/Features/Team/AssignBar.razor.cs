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

    private (TeamLoad Load, int Children) AfterOf(TeamClinician target)
    {
        var children = Team.Of(target.Id).UnionBy(Children, child => child.Id).ToList();
        return (TeamLoad.Of(target, children, Team.Policy), children.Count);
    }

    /// <summary>What the lead should know first. The lead decides: nothing here is refused.</summary>
    private IEnumerable<string> WarningsOf(TeamClinician target, (TeamLoad Load, int Children) after)
    {
        if (after.Load.Minutes > after.Load.CapacityMinutes)
        {
            yield return "That is more than there is time for.";
        }
        if (after.Children > target.MostChildren)
        {
            yield return $"That makes {after.Children} children; {target.MostChildren} are set as the most.";
        }
        foreach (var child in Children)
        {
            if (child.NeverWith.Contains(target.Id))
            {
                yield return $"{child.Code} is not to be brought together with {target.Name}.";
            }
            if (child.Language is { } language && !target.Languages.Contains(language))
            {
                yield return $"{child.Code} needs {LanguageTags.NameOf(language)}, which {target.Name} is not listed with.";
            }
            if (child.NeededDiscipline is { } needed && needed != target.Discipline)
            {
                yield return $"{child.Code} needs {DisciplineWords.Of(needed)}.";
            }
        }
    }

    private void Choose(ChangeEventArgs change)
    {
        Form.IsNobody = change.Value as string == Nobody;
        Form.ClinicianId = Guid.TryParse(change.Value as string, out var id) ? id : null;
    }
}
