using Caseload.Web.Platform;
using Caseload.Web.Platform.Reports;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Report;

/// <summary>What a child's physician is given, on the screen, to print and as pages.</summary>
public partial class ReportPage
{
    private ChildReport? _report;

    /// <summary>The child.</summary>
    [Parameter]
    public Guid ChildId { get; set; }

    [Inject]
    private GetReportHandler Reports { get; set; } = default!;

    [Inject]
    private ExportReportHandler Exports { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _report = await Reports.HandleAsync(await Actors.GetAsync(ct), new GetReport(ChildId), ct);
            return _report is not null;
        });

    private Task MakeAsync() =>
        RunAsync(async ct =>
        {
            await using var file = await Exports.HandleAsync(await Actors.GetAsync(ct), new ExportReport(ChildId), ct);
            if (file is not null)
            {
                await Browser.SaveFileAsync(file.Name, file.Content, ct);
            }
        });

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("caseload.print");
}
