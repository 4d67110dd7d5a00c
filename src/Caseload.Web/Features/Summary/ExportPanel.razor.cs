using System.Diagnostics;
using Caseload.Data.Papers;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Summaries;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Summary;

/// <summary>Makes a file of the summary that is shown, says how far it is and hands it to the browser.</summary>
public partial class ExportPanel : IProgress<SummaryProgress>
{
    private static readonly TimeSpan _betweenLooks = TimeSpan.FromMilliseconds(200);

    private SummaryProgress _progress;
    private long _shownAt;
    private CancellationTokenSource? _cancel;
    private string? _note;

    /// <summary>Which summary.</summary>
    [Parameter, EditorRequired]
    public SummaryRequest Request { get; set; } = default!;

    [Inject]
    private ExportSummaryHandler Exports { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private static (SummaryFormat, string)[] Kinds { get; } =
    [(SummaryFormat.Pdf, "Pages (PDF)"), (SummaryFormat.Xlsx, "Workbook (XLSX)"), (SummaryFormat.Csv, "Plain table (CSV)")];

    /// <inheritdoc />
    public void Report(SummaryProgress value)
    {
        // Called from wherever the work is done, for every child: most of it need not be shown.
        _progress = value;
        if (Stopwatch.GetElapsedTime(Interlocked.Read(ref _shownAt)) > _betweenLooks)
        {
            Interlocked.Exchange(ref _shownAt, Stopwatch.GetTimestamp());
            _ = InvokeAsync(StateHasChanged);
        }
    }

    private Task MakeAsync(SummaryFormat format) =>
        RunAsync(async ct =>
        {
            _progress = default;
            _note = null;
            using var cancel = CancellationTokenSource.CreateLinkedTokenSource(ct);
            _cancel = cancel;
            try
            {
                var (file, refusals) = await Exports.HandleAsync(
                    await Actors.GetAsync(cancel.Token),
                    new ExportSummary(Request, format, this),
                    cancel.Token
                );
                if (file is null)
                {
                    _note = refusals[0].Message;
                    return;
                }
                await using (file)
                {
                    await Browser.SaveFileAsync(file.Name, file.Content, cancel.Token);
                    _note = $"{file.Name} was made.";
                }
            }
            catch (OperationCanceledException) when (cancel.IsCancellationRequested && !ct.IsCancellationRequested)
            {
                _note = "Cancelled. Nothing was handed over.";
            }
            finally
            {
                _cancel = null;
            }
        });

    private void Cancel() => _cancel?.Cancel();
}
