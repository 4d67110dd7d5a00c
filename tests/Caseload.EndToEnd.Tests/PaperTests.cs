using System.Globalization;
using System.Text.RegularExpressions;
using Caseload.Testing;
using CsvHelper;
using DocumentFormat.OpenXml.Packaging;
using DocumentFormat.OpenXml.Spreadsheet;
using Microsoft.Playwright;
using UglyToad.PdfPig;

namespace Caseload.EndToEnd.Tests;

/// <summary>What is taken away says what the screen says, figure for figure.</summary>
public sealed partial class PaperTests(DemoSite site) : IClassFixture<DemoSite>
{
    [Fact]
    public async Task ALead_TakesTheSummaryAwayInEveryKind_AndAllSayWhatTheScreenSays()
    {
        var page = await site.OpenAsync(1280, 800);
        await page.GotoAsync(site.Address + "/summary");
        await page.Locator(".summary-list tbody tr").First.WaitForAsync();
        var screen = await ReadScreenAsync(page);
        screen.Codes.Count.ShouldBe(56);
        screen.Figures.Count.ShouldBe(5 + 8);

        var csv = ReadCsv(await TakeAsync(page, "Plain table (CSV)"));
        csv.Codes.ShouldBe(screen.Codes, "in the same order");
        foreach (var (what, count) in csv.Figures)
        {
            screen.Figures[what].ShouldBe(count, what);
        }
        csv.Figures.Count.ShouldBe(screen.Figures.Count - 2, "persisting responses are no column of their own");

        var (codes, about) = ReadWorkbook(await TakeAsync(page, "Workbook (XLSX)"));
        codes.ShouldBe(screen.Codes);
        foreach (var (what, count) in screen.Figures)
        {
            about[what].ShouldBe(count, what);
        }

        using var pdf = PdfDocument.Open(await TakeAsync(page, "Pages (PDF)"));
        var pages = pdf.GetPages().Select(one => one.Words()).ToList();
        foreach (var (what, count) in screen.Figures)
        {
            var number = count.ToString(CultureInfo.InvariantCulture);
            Regex
                .IsMatch(pages[0], $@" {number} (?:\([0-9]+ %\) )?{Regex.Escape(what)} ", RegexOptions.None, TimeSpan.FromSeconds(1))
                .ShouldBeTrue($"{number} {what}: {pages[0][..600]}");
        }
        CodePattern().Matches(string.Concat(pages)).Select(match => match.Value).ShouldBe(screen.Codes);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task AFilter_OnTheScreen_HoldsForTheFile()
    {
        var page = await site.OpenAsync(1024, 768);
        await page.GotoAsync(site.Address + "/summary");
        await page.Locator("#summary-alert").SelectOptionAsync("SameDay");
        await Assertions.Expect(page.Locator(".summary-list tbody tr")).ToHaveCountAsync(2);
        await page.GetByLabel("Names and birth dates").UncheckAsync();
        await Assertions.Expect(page.Locator(".summary-list tbody th").First).ToHaveTextAsync(CodePattern());
        var screen = await ReadScreenAsync(page);

        ReadCsv(await TakeAsync(page, "Plain table (CSV)")).Codes.ShouldBe(screen.Codes);

        await page.Locator("#summary-as-of").FillAsync("2026-12-24");
        await Assertions.Expect(page.Locator("#summary-as-of-problem")).ToContainTextAsync("a day to come");
        await page.Locator("#summary-as-of").FillAsync("2026-09-01");
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Caseload summary as of 1 Sep 2026");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task AClinician_MakesTheReportAndAPageForTheFamilyInTheirOwnWords()
    {
        var page = await site.OpenAsync(768, 1024, who: DemoSite.Clinician);
        await page.GotoAsync(site.Address + "/children");
        await page.Locator("a.row-link").First.ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Report", Exact = true }).ClickAsync();
        await page.WaitForURLAsync("**/report");
        var name = (await page.Locator("h1").InnerTextAsync()).Replace("Report: ", "", StringComparison.Ordinal);
        using (var report = PdfDocument.Open(await TakeAsync(page, "Pages (PDF)")))
        {
            report.GetPage(1).Words().ShouldStartWith(name);
            report.GetPage(1).Words().ShouldContain("not a diagnosis");
        }

        await page.GotoAsync(page.Url.Replace("/report", "/family", StringComparison.Ordinal));
        await page.GetByRole(AriaRole.Button, new() { Name = "Español" }).ClickAsync();
        await Assertions.Expect(page.Locator("label[for=part-1]")).ToHaveTextAsync("Lo que vimos");
        await page.Locator("#part-1").FillAsync("Juega con las manos.\n- Mira la luz");
        await page.GetByRole(AriaRole.Button, new() { Name = "Keep", Exact = true }).ClickAsync();
        await Assertions.Expect(page.Locator("#family-contact-problem")).ToContainTextAsync("whom the family can call");
        (await page.Locator("#part-1").InputValueAsync()).ShouldStartWith("Juega", Case.Sensitive, "nothing typed is lost");
        await page.Locator("#family-contact").FillAsync("Marigold, 555 0100");

        using var family = PdfDocument.Open(await TakeAsync(page, "Keep and make pages (PDF)"));

        var words = family.GetPage(1).Words();
        words.ShouldContain("Juega con las manos. Mira la luz");
        words.ShouldContain("A quién llamar Marigold, 555 0100");
        words.ShouldContain("Página 1 de 1");
        await Assertions.Expect(page.Locator(".family-kept li")).ToContainTextAsync("Español");
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator(".family-kept li")).ToHaveCountAsync(1);
        await page.GetByRole(AriaRole.Button, new() { Name = "Take as text" }).ClickAsync();
        await Assertions.Expect(page.Locator("#part-1")).ToHaveValueAsync("Juega con las manos.\n- Mira la luz");
        await page.Context.CloseAsync();
    }

    private static async Task<byte[]> TakeAsync(IPage page, string button)
    {
        var download = await page.RunAndWaitForDownloadAsync(() =>
            page.GetByRole(AriaRole.Button, new() { Name = button }).First.ClickAsync()
        );
        return await File.ReadAllBytesAsync(await download.PathAsync(), TestContext.Current.CancellationToken);
    }

    private static async Task<(List<string> Codes, Dictionary<string, int> Figures)> ReadScreenAsync(IPage page)
    {
        var figures = new Dictionary<string, int>();
        foreach (var line in await page.Locator(".summary-legend li").AllInnerTextsAsync())
        {
            var match = LegendPattern().Match(line);
            figures[match.Groups["what"].Value] = Number(match.Groups["count"].Value);
        }
        foreach (var group in await page.Locator(".summary-figures > div").AllAsync())
        {
            figures[await group.Locator("dt").InnerTextAsync()] = Number((await group.Locator("dd").InnerTextAsync()).Split('\u00a0')[0]);
        }
        var rows = await page.Locator(".summary-list tbody th").AllInnerTextsAsync();
        return ([.. rows.Select(row => CodePattern().Match(row).Value)], figures);
    }

    private static (List<string> Codes, Dictionary<string, int> Figures) ReadCsv(byte[] csv)
    {
        var codes = new List<string>();
        var figures = new[] { "same day", "tell the physician", "recheck and mention", "look again", "as expected" }.ToDictionary(
            what => what,
            _ => 0
        );
        foreach (
            var what in new[]
            {
                "children with an open alert",
                "open alerts",
                "checks due in 14 days",
                "of them overdue",
                "integrated since the last summary",
                "children without a clinician",
            }
        )
        {
            figures[what] = 0;
        }
        using var reader = CsvReader.Create(new MemoryStream(csv));
        while (reader.Read())
        {
            codes.Add(reader.GetString("Code"));
            figures[reader.GetString("Attention").ToLowerInvariant()]++;
            figures["open alerts"] += Number(reader.GetString("Open alerts"));
            figures["children with an open alert"] += Number(reader.GetString("Open alerts")) > 0 ? 1 : 0;
            figures["checks due in 14 days"] += Number(reader.GetString("Checks due in 14 days"));
            figures["of them overdue"] += Number(reader.GetString("Of them overdue"));
            figures["integrated since the last summary"] += reader
                .GetString("Integrated since the last summary")
                .Split("; ", StringSplitOptions.RemoveEmptyEntries)
                .Length;
            figures["children without a clinician"] += reader.GetString("Clinician").Length == 0 ? 1 : 0;
        }
        return (codes, figures);
    }

    private static (List<string> Codes, Dictionary<string, int> Figures) ReadWorkbook(byte[] xlsx)
    {
        using var book = SpreadsheetDocument.Open(new MemoryStream(xlsx), isEditable: false);
        var sheets = book.WorkbookPart!.Workbook!.Descendants<Sheet>()
            .ToDictionary(
                sheet => sheet.Name!.Value!,
                sheet => ((WorksheetPart)book.WorkbookPart!.GetPartById(sheet.Id!.Value!)).Worksheet!
            );
        var figures = new Dictionary<string, int>();
        foreach (var row in sheets["About"].Descendants<Row>())
        {
            var cells = row.Elements<Cell>().ToList();
            if (cells.Count > 1 && int.TryParse(cells[1].InnerText, NumberStyles.None, CultureInfo.InvariantCulture, out var count))
            {
                figures[cells[0].InnerText.Replace("children: ", "", StringComparison.Ordinal)] = count;
            }
        }
        return ([.. sheets["Children"].Descendants<Row>().Skip(1).Select(row => row.Elements<Cell>().First().InnerText)], figures);
    }

    private static int Number(string text) => int.Parse(text, NumberStyles.None, CultureInfo.InvariantCulture);

    [GeneratedRegex("K-[0-9]{3}", RegexOptions.None, 1000)]
    private static partial Regex CodePattern();

    [GeneratedRegex(@"^\s*(?<count>[0-9]+)\s+(?<what>.*?)\s+[0-9]+ %\s*$", RegexOptions.None, 1000)]
    private static partial Regex LegendPattern();
}
