using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Destroys the record of a closed case, for those who may, after its code was typed.</summary>
public partial class DestroyPanel
{
    private bool _isOffered;
    private bool _isAsking;
    private string _typedCode = "";
    private DestructionReason? _reason;
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    /// <summary>The child's code.</summary>
    [Parameter, EditorRequired]
    public string Code { get; set; } = "";

    /// <summary>The day the case was closed; null while it is open.</summary>
    [Parameter]
    public DateOnly? ClosedOn { get; set; }

    /// <summary>Raised when the record is gone.</summary>
    [Parameter]
    public EventCallback OnDestroyed { get; set; }

    [Inject]
    private DestroyChildHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync() => _isOffered = (await Actors.GetAsync(Leaving)).May(Permission.DestroyRecords);

    private Task DestroyAsync() =>
        RunAsync(async ct =>
        {
            _refusals = await Handler.HandleAsync(await Actors.GetAsync(ct), new DestroyChild(ChildId, _typedCode, _reason), ct);
            if (_refusals.Count == 0)
            {
                await OnDestroyed.InvokeAsync();
            }
        });

    private string? ProblemOf(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
