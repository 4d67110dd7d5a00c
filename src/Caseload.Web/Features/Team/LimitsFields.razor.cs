using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Team;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>What limits a clinician's caseload.</summary>
public partial class LimitsFields
{
    private LimitsForm _form = new();
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>The clinician.</summary>
    [Parameter, EditorRequired]
    public TeamClinician Clinician { get; set; } = default!;

    /// <summary>Raised when it was saved.</summary>
    [Parameter]
    public EventCallback OnSaved { get; set; }

    [Inject]
    private SaveClinicianLimitsHandler Saving { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => _form = LimitsForm.Of(Clinician);

    private Task SaveAsync() =>
        RunAsync(async ct =>
        {
            var request = new SaveClinicianLimits(Clinician.Id, Clinician.RowVersion, _form);
            _refusals = await Saving.HandleAsync(await Actors.GetAsync(ct), request, ct);
            if (_refusals.Count == 0)
            {
                await OnSaved.InvokeAsync();
            }
        });

    private string? ProblemAt(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
