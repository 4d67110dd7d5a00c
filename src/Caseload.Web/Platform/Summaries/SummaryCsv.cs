using System.Globalization;
using CsvHelper;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Writes a summary as comma-separated values: RFC 4180, UTF-8, a row for each child.</summary>
public static class SummaryCsv
{
    // With the mark at its start, spreadsheet programs read the letters right; RFC 4180 leaves the encoding open.
    private static readonly CsvWriterOptions _options = CsvWriterOptions.Default with { WriteByteOrderMark = true };

    /// <summary>Writes it.</summary>
    public static async Task WriteAsync(CaseloadSummary summary, Stream output, CancellationToken ct)
    {
        var columns = SummaryCells.OfChildren(summary.Head.HasNames);
        await using var csv = CsvWriter.Create(output, _options, leaveOpen: true);
        await csv.WriteRecordAsync([.. columns.Select(column => column.Header)], ct);
        foreach (var child in summary.Children)
        {
            await csv.WriteRecordAsync([.. columns.Select(column => TextOf(column.Value(child)))], ct);
        }
        await csv.FlushAsync(ct);
    }

    private static string TextOf(object? value) =>
        value switch
        {
            null => "",
            DateOnly on => on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            int number => number.ToString(CultureInfo.InvariantCulture),
            string text => SafeText.Of(text),
            _ => throw new InvalidOperationException($"A {value.GetType().Name} has no place in the table."),
        };
}
