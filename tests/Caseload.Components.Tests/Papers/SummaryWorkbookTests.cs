using Caseload.Data.Papers;
using Caseload.Web.Platform.Summaries;
using DocumentFormat.OpenXml.Packaging;
using DocumentFormat.OpenXml.Spreadsheet;
using DocumentFormat.OpenXml.Validation;

namespace Caseload.Components.Tests.Papers;

/// <summary>The workbook, read by the format's own kit.</summary>
public sealed class SummaryWorkbookTests
{
    [Fact]
    public async Task Workbook_Always_IsValidWithItsSheetsFrozenAndFiltered()
    {
        using var book = await OpenAsync(SummarySamples.Of(SummarySamples.Many(3)));

        new OpenXmlValidator().Validate(book, TestContext.Current.CancellationToken).Select(error => error.Description).ShouldBeEmpty();
        Sheets(book).Select(sheet => sheet.Name).ShouldBe(["Children", "Items", "About"]);
        foreach (var (name, part) in Sheets(book).Take(2))
        {
            var pane = part.Worksheet!.Descendants<Pane>().Single();
            (pane.State!.Value, pane.VerticalSplit!.Value, pane.HorizontalSplit!.Value).ShouldBe((PaneStateValues.Frozen, 1, 2), name);
            part.Worksheet.Descendants<AutoFilter>().Single().Reference!.Value!.ShouldStartWith("A1:");
            part.Worksheet.Descendants<Column>().Count().ShouldBeGreaterThan(10);
        }
        RowsOf(book, "Items").Count.ShouldBe(1 + 3 * 3);
    }

    [Fact]
    public async Task Workbook_Always_HoldsDaysAndNumbersAsSuch()
    {
        using var book = await OpenAsync(SummarySamples.Of([SummarySamples.FullChild(2)]));

        var rows = RowsOf(book, "Children");
        var headers = rows[0].ConvertAll(cell => TextOf(book, cell));
        headers.ShouldBe(SummaryCells.OfChildren(hasNames: true).Select(column => column.Header));
        var born = rows[1][headers.IndexOf("Date of birth")];
        born.DataType.ShouldBeNull("a number, in a date's format");
        DateTime
            .FromOADate(double.Parse(born.CellValue!.Text, System.Globalization.CultureInfo.InvariantCulture))
            .ShouldBe(new(2026, 1, 5));
        FormatOf(book, born).ShouldBe("yyyy\\-mm\\-dd");
        var alerts = rows[1][headers.IndexOf("Open alerts")];
        (alerts.DataType, alerts.CellValue!.Text).ShouldBe((null, "1"), "without a type a cell is a number (ECMA-376, 18.3.1.4)");
    }

    [Fact]
    [Trait("Requirement", "SEC-26")]
    public async Task Workbook_WithANameThatBeginsLikeAFormula_HoldsItAsText()
    {
        using var book = await OpenAsync(
            SummarySamples.Of([SummarySamples.Child(1, name: "=1+1"), SummarySamples.Child(2, name: "a\u0001b\0")])
        );

        var rows = RowsOf(book, "Children");
        var cell = rows[1][1];
        cell.CellFormula.ShouldBeNull();
        TextOf(book, cell).ShouldBe("=1+1");
        TextOf(book, rows[2][1]).ShouldBe("ab", "XML cannot hold the others");
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2000)]
    public async Task Workbook_OfSoManyChildren_HasARowForEach(int count)
    {
        using var book = await OpenAsync(SummarySamples.Of(SummarySamples.Many(count)));

        RowsOf(book, "Children").Count.ShouldBe(count + 1);
    }

    [Fact]
    public async Task Workbook_Always_SaysWhatItIsAndCountsWhatThePageCounts()
    {
        var summary = SummarySamples.Of([.. SummarySamples.Many(3), SummarySamples.Child(9, clinician: null)]);
        using var book = await OpenAsync(summary);

        var about = RowsOf(book, "About").ConvertAll(row => string.Join(" | ", row.Select(cell => TextOf(book, cell))));
        about.ShouldContain("Programme | Larkfield (invented)");
        about.ShouldContain("Reference set | published@1");
        about.ShouldContain("children | 4");
        about.ShouldContain("children: tell the physician | 3 | 75 %");
        about.ShouldContain("children without a clinician | 1 | 25 %");
    }

    private static async Task<SpreadsheetDocument> OpenAsync(CaseloadSummary summary) =>
        Open(await SummarySamples.WriteAsync(summary, SummaryFormat.Xlsx));

    internal static SpreadsheetDocument Open(byte[] xlsx) => SpreadsheetDocument.Open(new MemoryStream(xlsx), isEditable: false);

    internal static List<List<Cell>> RowsOf(SpreadsheetDocument book, string sheet) =>
        [
            .. Sheets(book)
                .Single(pair => pair.Name == sheet)
                .Part.Worksheet!.Descendants<Row>()
                .Select(row => row.Elements<Cell>().ToList()),
        ];

    internal static string TextOf(SpreadsheetDocument book, Cell cell) =>
        cell.DataType?.Value == CellValues.SharedString
            ? book.WorkbookPart!.SharedStringTablePart!.SharedStringTable!.ElementAt(
                int.Parse(cell.CellValue!.Text, System.Globalization.CultureInfo.InvariantCulture)
            ).InnerText
            : cell.InnerText;

    private static IEnumerable<(string Name, WorksheetPart Part)> Sheets(SpreadsheetDocument book) =>
        book.WorkbookPart!.Workbook!.Descendants<Sheet>()
            .Select(sheet => (sheet.Name!.Value!, (WorksheetPart)book.WorkbookPart!.GetPartById(sheet.Id!.Value!)));

    private static string FormatOf(SpreadsheetDocument book, Cell cell)
    {
        var sheet = book.WorkbookPart!.WorkbookStylesPart!.Stylesheet!;
        var format = sheet.CellFormats!.Elements<CellFormat>().ElementAt((int)cell.StyleIndex!.Value);
        return sheet
            .NumberingFormats!.Elements<NumberingFormat>()
            .Single(number => number.NumberFormatId!.Value == format.NumberFormatId!.Value)
            .FormatCode!.Value!;
    }
}
