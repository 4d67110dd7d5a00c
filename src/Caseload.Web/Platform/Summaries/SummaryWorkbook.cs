using Caseload.Domain.Wording;
using SpreadCheetah;
using SpreadCheetah.Styling;
using SpreadCheetah.Worksheets;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Writes a summary as a workbook: a sheet of children, a sheet of items, and a sheet that says what they are.</summary>
/// <remarks>Texts are stored as texts, which no spreadsheet program takes for formulas; days and counts are days and numbers.</remarks>
public static class SummaryWorkbook
{
    private const string DayFormat = "yyyy\\-mm\\-dd";

    /// <summary>Writes it.</summary>
    public static async Task WriteAsync(CaseloadSummary summary, Stream output, CancellationToken ct)
    {
        var options = new SpreadCheetahOptions { DefaultDateTimeFormat = NumberFormat.Custom(DayFormat), BufferSize = 1 << 16 };
        await using var book = await Spreadsheet.CreateNewAsync(output, options, ct);
        var header = book.AddStyle(
            new Style
            {
                Font = { Bold = true },
                Fill = { Color = System.Drawing.Color.FromArgb(0xE3, 0xEE, 0xEE) },
                Alignment = { WrapText = true, Vertical = VerticalAlignment.Center },
            }
        );
        var top = book.AddStyle(new Style { Alignment = { Vertical = VerticalAlignment.Top, WrapText = true } });
        var day = book.AddStyle(new Style { Format = NumberFormat.Custom(DayFormat), Alignment = { Vertical = VerticalAlignment.Top } });
        var styles = new Styles(header, top, day);
        var hasNames = summary.Head.HasNames;
        await AddSheetAsync(book, "Children", SummaryCells.OfChildren(hasNames), summary.Children, styles, hasNames ? 2 : 1, ct);
        await AddSheetAsync(book, "Items", SummaryCells.OfItems(hasNames), SummaryCells.ItemRows(summary), styles, hasNames ? 2 : 1, ct);
        await AddAboutAsync(book, summary, header, ct);
        await book.FinishAsync(ct);
    }

    private static async Task AddSheetAsync<T>(
        Spreadsheet book,
        string name,
        IReadOnlyList<SummaryColumn<T>> columns,
        IEnumerable<T> rows,
        Styles styles,
        int frozenColumns,
        CancellationToken ct
    )
    {
        var rowCount = rows.TryGetNonEnumeratedCount(out var known) ? known : rows.Count();
        var sheet = new WorksheetOptions
        {
            FrozenRows = 1,
            FrozenColumns = frozenColumns,
            AutoFilter = new AutoFilterOptions($"A1:{LettersOf(columns.Count)}{Math.Max(2, rowCount + 1)}"),
        };
        for (var index = 0; index < columns.Count; index++)
        {
            sheet.Column(index + 1).Width = columns[index].Width + 2;
        }
        await book.StartWorksheetAsync(name, sheet, ct);
        await book.AddRowAsync([.. columns.Select(column => new Cell(column.Header, styles.Header))], ct);
        var cells = new Cell[columns.Count];
        foreach (var row in rows)
        {
            for (var index = 0; index < cells.Length; index++)
            {
                cells[index] = CellOf(columns[index].Value(row), styles);
            }
            await book.AddRowAsync(cells, ct);
        }
    }

    private static async Task AddAboutAsync(Spreadsheet book, CaseloadSummary summary, StyleId header, CancellationToken ct)
    {
        var head = summary.Head;
        var sheet = new WorksheetOptions();
        sheet.Column(1).Width = 44;
        sheet.Column(2).Width = 60;
        sheet.Column(3).Width = 12;
        await book.StartWorksheetAsync("About", sheet, ct);
        await book.AddRowAsync([new Cell(head.Title, header)], ct);
        foreach (
            var (name, value) in new[]
            {
                ("Programme", head.Programme),
                ("Children", head.Scope),
                ("Reference set", head.SetKey),
                ("Made", head.Made),
                ("Caution", FirstResponses.Caution),
            }
        )
        {
            await book.AddRowAsync([new Cell(name), new Cell(value)], ct);
        }
        await book.AddRowAsync([new Cell("As of"), new Cell(head.Ask.AsOfOn.ToDateTime(TimeOnly.MinValue))], ct);
        await book.AddRowAsync([new Cell("Integrated after"), new Cell(head.Ask.SinceOn.ToDateTime(TimeOnly.MinValue))], ct);
        await book.AddRowAsync([new Cell("Counts", header), new Cell("Number", header), new Cell("Share", header)], ct);
        await book.AddRowAsync([new Cell("children"), new Cell(summary.Figures.Children)], ct);
        foreach (var (attention, count) in summary.Figures.ByAttention)
        {
            await book.AddRowAsync(
                [
                    new Cell("children: " + Labels.Of(attention).ToLowerInvariant()),
                    new Cell(count),
                    new Cell(summary.Figures.ShareOf(count)),
                ],
                ct
            );
        }
        foreach (var figure in summary.Figures.Others)
        {
            await book.AddRowAsync([new Cell(figure.What), new Cell(figure.Count), new Cell(figure.Share)], ct);
        }
    }

    private static Cell CellOf(object? value, Styles styles) =>
        value switch
        {
            null => new Cell((string?)null, styles.Body),
            DateOnly on => new Cell(on.ToDateTime(TimeOnly.MinValue), styles.Day),
            int number => new Cell(number, styles.Body),
            string text => new Cell(Storable(text), styles.Body),
            _ => throw new InvalidOperationException($"A {value.GetType().Name} has no place in the table."),
        };

    // What XML cannot hold is left out: no letter anybody writes is among it.
    private static string Storable(string text) =>
        text.All(System.Xml.XmlConvert.IsXmlChar) || text.Any(char.IsSurrogate)
            ? text
            : string.Concat(text.Where(System.Xml.XmlConvert.IsXmlChar));

    private static string LettersOf(int column)
    {
        var letters = "";
        for (var rest = column; rest > 0; rest = (rest - 1) / 26)
        {
            letters = (char)('A' + ((rest - 1) % 26)) + letters;
        }
        return letters;
    }

    private readonly record struct Styles(StyleId Header, StyleId Body, StyleId Day);
}
