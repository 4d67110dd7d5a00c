using Caseload.Data.Papers;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Writes a summary as a file of any kind: the one way of the screen and of the command line.</summary>
public static class SummaryFile
{
    /// <summary>The file's name.</summary>
    public static string NameOf(SummaryHead head, SummaryFormat format) => $"{head.FileName}.{Domain.EnumWords.ToWord(format)}";

    /// <summary>Writes it.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="format">The kind of file.</param>
    /// <param name="zone">The programme's time zone.</param>
    /// <param name="output">Where to.</param>
    /// <param name="progress">Told how many children of how many are written, where writing takes long.</param>
    /// <param name="ct">Cancels.</param>
    public static Task WriteAsync(
        CaseloadSummary summary,
        SummaryFormat format,
        TimeZoneInfo zone,
        Stream output,
        IProgress<SummaryProgress>? progress,
        CancellationToken ct
    ) =>
        format switch
        {
            SummaryFormat.Csv => SummaryCsv.WriteAsync(summary, output, ct),
            SummaryFormat.Xlsx => SummaryWorkbook.WriteAsync(summary, output, ct),
            // Drawing pages is work for the processor only, and whoever waits for it must stay able to cancel.
            SummaryFormat.Pdf => Task.Run(() => SummaryPaper.Write(summary, zone, output, progress, ct), ct),
            _ => throw new ArgumentOutOfRangeException(nameof(format)),
        };
}
