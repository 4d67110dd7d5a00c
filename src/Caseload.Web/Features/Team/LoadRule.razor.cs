using Caseload.Domain;
using Caseload.Domain.Assignment;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>How a load is worked out, and the numbers it is worked out with.</summary>
public partial class LoadRule
{
    private WorkloadForm _form = new(WorkloadPolicy.Default);
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>The programme's minutes.</summary>
    [Parameter, EditorRequired]
    public WorkloadPolicy Policy { get; set; } = default!;

    /// <summary>Raised when it was saved.</summary>
    [Parameter]
    public EventCallback OnSaved { get; set; }

    [Inject]
    private SaveWorkloadPolicyHandler Saving { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnParametersSet() => _form = _form.Seen == Policy ? _form : new WorkloadForm(Policy);

    private Task SaveAsync() =>
        RunAsync(async ct =>
        {
            _refusals = await Saving.HandleAsync(await Actors.GetAsync(ct), new SaveWorkloadPolicy(_form), ct);
            if (_refusals.Count == 0)
            {
                await OnSaved.InvokeAsync();
            }
        });
}
