using System.Text;
using Caseload.Data.Papers;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Testing;
using Caseload.Web.Platform.Paper;
using Caseload.Web.Platform.Summaries;
using UglyToad.PdfPig;

namespace Caseload.Components.Tests.Papers;

/// <summary>The pages, read by a library that did not write them.</summary>
public sealed class SummaryPaperTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(60)]
    [InlineData(2000)]
    public async Task Pages_OfSoManyChildren_HoldEachOnceAndAreNumbered(int count)
    {
        using var pdf = await OpenAsync(SummarySamples.Of(SummarySamples.Many(count)));

        var pages = pdf.GetPages().Select(page => page.Words()).ToList();
        for (var index = 0; index < pages.Count; index++)
        {
            pages[index].ShouldContain(FormattableString.Invariant($"Page {index + 1} of {pages.Count}"));
            pages[index].ShouldContain("Caseload summary as of 25 Nov 2026");
            pages[index].ShouldContain("Made by Isadora Plumtree on 25 Nov 2026, 09:30");
            pages[index].ShouldContain("reference set published@1");
            pages[index].ShouldContain(FirstResponses.Caution);
        }
        var all = string.Join(' ', pages);
        for (var number = 1; number <= count; number++)
        {
            CountOf(all, FormattableString.Invariant($"K-{number:000} ")).ShouldBe(1, $"child {number}");
        }
        if (count == 0)
        {
            all.ShouldContain("No child matches.");
        }
    }

    [Fact]
    public async Task Pages_Always_CountWhatTheRowsSay()
    {
        var summary = SummarySamples.Of([.. SummarySamples.Many(3), SummarySamples.Child(9, clinician: null)]);
        using var pdf = await OpenAsync(summary);

        var first = pdf.GetPage(1).Words();
        first.ShouldContain("4 children");
        first.ShouldContain("3 (75 %)");
        first.ShouldContain("12 weeks past its deadline");
        first.ShouldContain("overdue since 20 Nov 2026: Rooting");
        first.ShouldContain("no clinician");
    }

    [Fact]
    public async Task Pages_WithALongNameAndAlertsBeyondAPage_LoseNothing()
    {
        var name = string.Join(' ', Enumerable.Range(1, 40).Select(number => $"Brambleberryhollowmeadow{number}"));
        var alerts = Enumerable
            .Range(1, 160)
            .Select(number => new SummaryAlert(AlertKind.DeadlinePassed, 0, $"Alert{number}", Concern.Watch, null, number % 3));
        var summary = SummarySamples.Of([SummarySamples.Child(1, name: name, alerts: [.. alerts]), SummarySamples.Child(2)]);
        using var pdf = await OpenAsync(summary);

        var all = string.Concat(pdf.GetPages().Select(page => page.Words())).Replace(" ", "", StringComparison.Ordinal);
        pdf.NumberOfPages.ShouldBeGreaterThan(2);
        Enumerable
            .Range(1, 160)
            .ShouldAllBe(number => all.Contains(FormattableString.Invariant($"Alert{number}"), StringComparison.Ordinal));
        all.ShouldContain("K-002");
    }

    [Theory]
    [InlineData("Łuczak-Ångström, Zoë")]
    [InlineData("Ştefănescu, Țeñor")]
    [InlineData("Ελένη, Жанна")]
    public async Task Pages_WithAccents_HoldTheLetters(string name)
    {
        using var pdf = await OpenAsync(SummarySamples.Of([SummarySamples.Child(1, name: name)]));

        pdf.GetPage(1).Words().ShouldContain(name);
    }

    /// <summary>
    /// Visual order by UAX #9 for a left-to-right line. The joined forms are those of the Unicode Standard's block Arabic Presentation Forms-B
    /// (U+FEB3 seen initial, U+FE8E alef final, U+FEAD reh isolated, U+FE93 teh marbuta isolated, U+FEFB lam with alef isolated).
    /// </summary>
    [Theory]
    [InlineData("Bramble", "Bramble")]
    [InlineData("שרה", "הרש")]
    [InlineData("כהן, שרה (K-012)", "הרש ,ןהכ (K-012)")]
    [InlineData("K-012 שרה", "K-012 הרש")]
    [InlineData("שרה 12 כהן", "ןהכ 12 הרש")]
    [InlineData("שרה (כהן) דוד", "דוד (ןהכ) הרש")]
    [InlineData("\u0633\u0627\u0631\u0629", "\uFE93\uFEAD\uFE8E\uFEB3")]
    [InlineData("\u0644\u0627", "\uFEFB")]
    public void Line_WithRightToLeftLetters_IsTurnedAndJoined(string line, string drawn) => VisualOrder.Of(line).ShouldBe(drawn);

    [Fact]
    public async Task Pages_WithRightToLeftNames_HoldThemInTheOrderOfTheirDrawing()
    {
        using var pdf = await OpenAsync(
            SummarySamples.Of([SummarySamples.Child(1, name: "שרה"), SummarySamples.Child(2, name: "\u0633\u0627\u0631\u0629")])
        );

        var words = pdf.GetPage(1).Words();
        words.ShouldContain("הרש");
        words.Normalize(NormalizationForm.FormKC).ShouldContain("\u0629\u0631\u0627\u0633");
    }

    [Theory]
    [InlineData("America/Chicago", 792, 612)]
    [InlineData("Europe/Dublin", 842, 595)]
    public void Sheet_OfAZone_IsTheOneItsOfficesUse(string zone, int width, int height)
    {
        using var stream = new MemoryStream();
        SummaryPaper.Write(SummarySamples.Of([]), TimeZoneInfo.FindSystemTimeZoneById(zone), stream, null, CancellationToken.None);

        using var pdf = PdfDocument.Open(stream.ToArray());
        (Math.Round(pdf.GetPage(1).Width), Math.Round(pdf.GetPage(1).Height)).ShouldBe((width, height));
    }

    [Fact]
    public async Task Writing_WhenCancelled_Stops()
    {
        using var cancel = new CancellationTokenSource();
        var progress = new Hook(done =>
        {
            if (done == 10)
            {
                cancel.Cancel();
            }
        });
        using var stream = new MemoryStream();

        await Should.ThrowAsync<OperationCanceledException>(() =>
            SummaryFile.WriteAsync(
                SummarySamples.Of(SummarySamples.Many(100)),
                SummaryFormat.Pdf,
                SummarySamples.Zone,
                stream,
                progress,
                cancel.Token
            )
        );
        progress.Last.ShouldBe(10);
        stream.Length.ShouldBe(0);
    }

    private static async Task<PdfDocument> OpenAsync(CaseloadSummary summary) =>
        PdfDocument.Open(await SummarySamples.WriteAsync(summary, SummaryFormat.Pdf));

    private static int CountOf(string text, string part)
    {
        var count = 0;
        for (var at = text.IndexOf(part, StringComparison.Ordinal); at >= 0; at = text.IndexOf(part, at + 1, StringComparison.Ordinal))
        {
            count++;
        }
        return count;
    }

    private sealed class Hook(Action<int> note) : IProgress<SummaryProgress>
    {
        public int Last { get; private set; }

        public void Report(SummaryProgress value)
        {
            Last = value.Done;
            note(value.Done);
        }
    }
}
