using System.Globalization;
using Caseload.Web.Platform.Team;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>A proposal: each move with its reasons, whom nobody was found for, and the loads before and after.</summary>
public partial class ProposalView
{
    /// <summary>The proposal.</summary>
    [Parameter, EditorRequired]
    public SuggestedAssignments Suggested { get; set; } = default!;

    /// <summary>Children whose move is to be accepted.</summary>
    [Parameter, EditorRequired]
    public IReadOnlySet<Guid> Chosen { get; set; } = default!;

    /// <summary>Whether a command is under way.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Raised when a move is chosen or no longer.</summary>
    [Parameter]
    public EventCallback<Guid> OnToggle { get; set; }

    private string QualityWords =>
        (Suggested.Quality.WasStopped ? "Stopped early. " : "")
        + (
            Suggested.Quality.IsProvedBest
                ? "No better proposal exists: first as few waiting as possible, then nobody overloaded, language, continuity, no load fuller than needed, little travel, even loads."
                : string.Create(
                    CultureInfo.InvariantCulture,
                    $"A good proposal, not proved the best. The fullest clinician comes to {Suggested.Quality.Fullest / 10.0:0} %; whoever sees whom, it cannot be below {Suggested.Quality.LeastFullest / 10.0:0} % (a gap of {Suggested.Quality.GapPercent:0.#} %)."
                )
        );

    private TeamChild ChildOf(Guid id) => Suggested.Team.Children.First(child => child.Id == id);

    private string NameOf(Guid id) => Suggested.Team.Clinicians.FirstOrDefault(row => row.Id == id)?.Name ?? "a former clinician";
}
