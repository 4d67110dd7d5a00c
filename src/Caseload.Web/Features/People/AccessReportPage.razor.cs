using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.People;

/// <summary>Names and positions of everybody who has access, to be printed.</summary>
public partial class AccessReportPage
{
    private AccessReport? _report;

    [Inject]
    private GetAccessReportHandler Report { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _report = await Report.HandleAsync(await Actors.GetAsync(ct), new GetAccessReport(), ct);
            return true;
        });

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("caseload.print");
}
