using System.Globalization;
using Bunit;
using Caseload.Domain.Interpretation;
using Caseload.Web.Features.Digest;
using Caseload.Web.Platform.Digests;

namespace Caseload.Components.Tests.Digest;

public sealed class DigestPartTests : ComponentTest
{
    private static readonly Dictionary<Guid, string> _names = new() { [SampleDigest.Children[0]] = "Invented Child" };

    [Fact]
    public void Sheet_OfAFullWeek_ShowsEveryPartAndTheMessage()
    {
        var sheet = Show(SampleDigest.Full);

        sheet
            .AllWords(".digest-part h2")
            .Select(words => words.Split([" 1 ", " 2 ", " 3 "], StringSplitOptions.None)[0])
            .ShouldBe([
                "Persisting",
                "New alerts",
                "Deadlines passed without a check",
                "Second looks overdue",
                "Due in the coming week",
                "Integrated this week",
                "Closed alerts",
                "Not visited",
            ]);
        sheet.FindAll(".week-bars").ShouldBeEmpty();
        sheet.Find("details pre").TextContent.ShouldBe("the text,\nas it was sent");
        sheet.Find("details p").Words().ShouldBe("The subject");
    }

    [Fact]
    public void Sheet_ForAChildOutOfReach_ShowsTheCodeWithoutALink()
    {
        var sheet = Show(SampleDigest.Full);

        sheet.FindAll(".digest-line a").ShouldAllBe(link => link.TextContent == "Invented Child");
        sheet.Find(".digest-line a").GetAttribute("href").ShouldBe($"children/{SampleDigest.Children[0]}");
        sheet.AllWords(".digest-line strong").ShouldContain("K-002");
    }

    [Fact]
    public void Sheet_OfAQuietWeek_SaysSo() => Show(SampleDigest.Empty).Words().ShouldContain("A quiet week");

    [Fact]
    public void Sheet_WithNothingInSomeParts_FoldsThemIntoOneLine() =>
        Show(SampleDigest.Full with { NewAlerts = [], Integrated = [] })
            .Words()
            .ShouldContain("None: new alerts, newly integrated responses.");

    [Fact]
    public async Task Part_WithManyLines_ShowsTheRestWhenAsked()
    {
        var sheet = Show(SampleDigest.Team);
        var part = sheet.FindAll(".digest-part").Single(element => element.GetAttribute("aria-label") == "Integrated this week");
        part.QuerySelectorAll("ul > li").Length.ShouldBe(12);

        await sheet.Control("Show 11 more").ClickAsync(new());

        sheet
            .FindAll(".digest-part")
            .Single(element => element.GetAttribute("aria-label") == "Integrated this week")
            .QuerySelectorAll("ul > li")
            .Length.ShouldBe(23);
    }

    [Fact]
    public void Part_WithManyThingsAboutOneChild_NamesItOnce()
    {
        var part = Show(SampleDigest.Team)
            .FindAll(".digest-part")
            .Single(element => element.GetAttribute("aria-label") == "Deadlines passed without a check");

        part.QuerySelectorAll(".digest-line").Length.ShouldBe(1);
        part.QuerySelectorAll(".digest-details li").Length.ShouldBe(10);
        part.QuerySelector("h2 .tag")!.TextContent.ShouldBe("10");
        part.Words().ShouldContain("10 deadlines passed");
    }

    [Fact]
    public void Team_Always_DrawsTheWeeksAndSaysThemInWords()
    {
        var sheet = Show(SampleDigest.Team);

        sheet.FindAll(".week-bars").Count.ShouldBe(4);
        var chart = sheet.Find(".digest-charts .week-bars");
        chart
            .GetAttribute("aria-label")
            .ShouldBe("Persisting responses by week: W37 0, W38 1, W39 1, W40 2, W41 3, W42 3, W43 2, W44 4, W45 4, W46 3, W47 3, W48 3");
        var heights = chart
            .QuerySelectorAll("rect")
            .Select(bar => int.Parse(bar.GetAttribute("height")!, CultureInfo.InvariantCulture))
            .ToList();
        heights.ShouldBe([1, 20, 20, 40, 60, 60, 40, 80, 80, 60, 60, 60]);
        sheet.FindAll("details table tbody tr").Count.ShouldBe(12);
        sheet.AllWords("th.digest-clinician").ShouldBe(["MB open alerts: 1 same day, 2 act", "No clinician no open alerts"]);
    }

    [Theory]
    [InlineData(PersistingTrend.New, "new this week")]
    [InlineData(PersistingTrend.NotSeenAgain, "not looked at this week")]
    [InlineData(PersistingTrend.Weaker, "weaker than before")]
    public void Line_OfAPersistingResponse_SaysHowItWent(PersistingTrend trend, string words) =>
        Show(SampleDigest.Full with { Persisting = [SampleDigest.Full.Persisting[0] with { Trend = trend }] })
            .AllWords(".digest-line .tag")
            .ShouldContain(words);

    private IRenderedComponent<DigestSheet> Show(DigestContent content) =>
        Render<DigestSheet>(sheet =>
            sheet.Add(
                part => part.View,
                new DigestView(
                    SampleDigest.Id,
                    Guid.Empty,
                    content.Scope,
                    new DateTimeOffset(2026, 11, 23, 7, 1, 0, TimeSpan.FromHours(-6)),
                    content,
                    _names,
                    new Dictionary<Guid, string>(),
                    "The subject",
                    "the text,\nas it was sent"
                )
            )
        );
}
