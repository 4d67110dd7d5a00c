using Caseload.Web.Platform;
using Caseload.Web.Platform.Team;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>Which clinicians a child is not to be brought together with, and why.</summary>
public partial class NeverFields
{
    private Guid? _clinicianId;
    private string _reason = "";
    private string? _problem;

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public TeamChild Child { get; set; } = default!;

    /// <summary>Clinicians to choose.</summary>
    [Parameter, EditorRequired]
    public IReadOnlyList<TeamClinician> Clinicians { get; set; } = [];

    /// <summary>Raised when it was saved.</summary>
    [Parameter]
    public EventCallback OnSaved { get; set; }

    [Inject]
    private SaveNeverPairHandler Saving { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private string Id => $"never-{Child.Id}";

    private string NameOf(Guid id) => Clinicians.FirstOrDefault(row => row.Id == id)?.Name ?? "a former clinician";

    private Task AddAsync() => _clinicianId is { } id ? SaveAsync(id, _reason) : Task.CompletedTask;

    private Task RemoveAsync(Guid clinicianId) => SaveAsync(clinicianId, null);

    private Task SaveAsync(Guid clinicianId, string? reason) =>
        RunAsync(async ct =>
        {
            var refusals = await Saving.HandleAsync(await Actors.GetAsync(ct), new SaveNeverPair(Child.Id, clinicianId, reason), ct);
            _problem = refusals.Count > 0 ? refusals[0].Message : null;
            if (_problem is null)
            {
                (_clinicianId, _reason) = (null, "");
                await OnSaved.InvokeAsync();
            }
        });
}
