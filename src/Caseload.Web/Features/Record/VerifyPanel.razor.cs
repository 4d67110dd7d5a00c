using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>Checks the record and tells the outcome.</summary>
public partial class VerifyPanel
{
    private VerifyProgress? _progress;
    private VerifyOutcome? _outcome;

    [Inject]
    private VerifyRecordHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private Task VerifyAsync() =>
        RunAsync(async ct =>
        {
            (_progress, _outcome) = (null, null);
            StateHasChanged();
            var progress = new Progress<VerifyProgress>(Show);
            _outcome = await Handler.HandleAsync(await Actors.GetAsync(ct), new VerifyRecord(progress), ct);
        });

    private void Show(VerifyProgress progress)
    {
        _progress = progress;
        _ = InvokeAsync(StateHasChanged);
    }
}
