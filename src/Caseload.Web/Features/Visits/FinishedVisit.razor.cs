using Caseload.Data;
using Caseload.Domain;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using MudBlazor;

namespace Caseload.Web.Features.Visits;

/// <summary>A finished visit: what it changed, whom to tell, its findings and their corrections.</summary>
public partial class FinishedVisit
{
    private VisitFindingRow? _correcting;
    private Guid _correctionId;
    private IReadOnlyList<Refusal> _problems = [];

    /// <summary>The visit and the child.</summary>
    [Parameter, EditorRequired]
    public VisitHead Head { get; set; } = default!;

    /// <summary>What is shown.</summary>
    [Parameter, EditorRequired]
    public FinishedVisitView View { get; set; } = default!;

    /// <summary>Who acts.</summary>
    [Parameter, EditorRequired]
    public Actor Actor { get; set; } = default!;

    /// <summary>Raised when a correction was added.</summary>
    [Parameter]
    public EventCallback OnCorrected { get; set; }

    [Inject]
    private CorrectFindingHandler Handler { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private ISnackbar Messages { get; set; } = default!;

    private async Task CorrectAsync(CorrectionForm form)
    {
        _problems = [];
        await RunAsync(async ct =>
        {
            if (_correctionId == Guid.Empty)
            {
                _correctionId = Guid.CreateVersion7(Time.GetUtcNow());
            }
            switch (await Handler.HandleAsync(Actor, new CorrectFinding(_correctionId, _correcting!.Finding.Id, form), ct))
            {
                case CorrectFindingOutcome.Refused refused:
                    _problems = refused.Refusals;
                    return;
                case CorrectFindingOutcome.AlreadyCorrected:
                    Messages.Add("Somebody else has corrected this finding already. What they entered is shown now.", Severity.Warning);
                    break;
                default:
                    Messages.Add(form.IsWithdrawal ? "Taken back" : "Corrected", Severity.Success);
                    break;
            }
            Close();
            await OnCorrected.InvokeAsync();
        });
        if (CommandProblem is { } problem)
        {
            _problems = [new Refusal("finding", problem)];
        }
    }

    private void Close()
    {
        _correcting = null;
        _correctionId = Guid.Empty;
        _problems = [];
    }
}
