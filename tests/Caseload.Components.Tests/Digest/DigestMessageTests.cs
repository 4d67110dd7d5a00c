using System.Runtime.CompilerServices;
using System.Text;
using AngleSharp.Html.Parser;
using Caseload.Web.Platform.Digests;

namespace Caseload.Components.Tests.Digest;

/// <summary>
/// Both parts of the mail, word for word: the files beside this one hold them. Where a change is meant, CASELOAD_ACCEPT_SNAPSHOTS=1 writes them
/// anew; read the difference before it is committed.
/// </summary>
public sealed class DigestMessageTests
{
    public static TheoryData<string> Samples => ["full", "empty", "team"];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Text_OfASample_IsTheKeptOne(string sample) =>
        ShouldBeKept(DigestText.Write(ContentOf(sample), SampleDigest.Id), sample + ".txt");

    [Theory]
    [MemberData(nameof(Samples))]
    public void Html_OfASample_IsTheKeptOne(string sample) =>
        ShouldBeKept(DigestHtml.Write(ContentOf(sample), SampleDigest.Id, hasStop: true), sample + ".html");

    [Theory]
    [MemberData(nameof(Samples))]
    public void Text_Always_FitsInSeventyTwoColumns(string sample)
    {
        var text = DigestText.Write(ContentOf(sample), SampleDigest.Id) + DigestText.StopFooter;

        // The address of a page is one word.
        text.Split('\n').Where(line => !line.Contains("{site}")).ShouldAllBe(line => line.Length <= 72);
        text.ShouldNotContain('\r');
        Plain(text).ShouldContain("Nothing here is a diagnosis; your local protocol goes first.");
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void Html_Always_FetchesNothingAndStaysOnAPhone(string sample)
    {
        var html = DigestHtml.Write(ContentOf(sample), SampleDigest.Id, hasStop: true);
        var page = new HtmlParser().ParseDocument(html);

        page.QuerySelectorAll("img, script, link, style, iframe, [src], [background]").ShouldBeEmpty();
        html.ShouldNotContain("url(");
        page.QuerySelectorAll("a")
            .ShouldAllBe(link => link.GetAttribute("href")!.StartsWith("{site}/") || link.GetAttribute("href") == "{stop}");
        // Nothing is wider than the screen by its own measure, and no text has a colour that a dark background could swallow.
        page.QuerySelectorAll("[width]").ShouldBeEmpty();
        page.QuerySelectorAll("[style]")
            .ShouldAllBe(element => !element.GetAttribute("style")!.Replace("background-color:", "").Contains("color:#"));
        Encoding.UTF8.GetByteCount(html).ShouldBeLessThan(100_000, "some mail programs cut a longer message");
    }

    [Theory]
    [MemberData(nameof(Samples))]
    public void Html_Always_SaysWhatTheTextSays(string sample)
    {
        var document = DigestDocument.Of(ContentOf(sample));
        var text = Plain(DigestText.Write(ContentOf(sample), SampleDigest.Id));
        var html = Plain(
            new HtmlParser().ParseDocument(DigestHtml.Write(ContentOf(sample), SampleDigest.Id, hasStop: false)).Body!.TextContent
        );

        foreach (var line in document.Sections.SelectMany(section => section.Lines.Take(DigestText.MostLines)))
        {
            foreach (var words in new[] { line.Text, line.Tag ?? "" }.Concat(line.Details.Take(7)))
            {
                text.ShouldContain(Plain(words));
                html.ShouldContain(Plain(words));
            }
        }
        foreach (var nothing in document.Sections.Count == 0 ? [DigestDocument.Quiet] : document.Nothing)
        {
            text.ShouldContain(Plain(nothing));
            html.ShouldContain(Plain(nothing));
        }
    }

    [Fact]
    public void Html_OfWhatLooksLikeMarkup_ShowsItAsText()
    {
        var html = DigestHtml.Write(SampleDigest.Full, SampleDigest.Id, hasStop: false);

        html.ShouldContain("K-004 (&#197;.&lt;b&gt;)");
        html.ShouldContain("Stepping &amp; placing");
        html.ShouldNotContain("{stop}");
    }

    [Fact]
    public void Subject_Always_CountsAndNamesNobody()
    {
        DigestWords.SubjectOf(SampleDigest.Full).ShouldBe("Caseload digest, week 48: 3 persisting, 2 new alerts");
        DigestWords.SubjectOf(SampleDigest.Team).ShouldBe("Caseload team digest, week 48: 3 persisting, 2 new alerts");
        DigestWords.SubjectOf(SampleDigest.Empty).ShouldBe("Caseload digest, week 1: nothing persisting, no new alerts");
    }

    [Fact]
    public void Content_StoredAndReadAgain_IsTheSame()
    {
        var again = DigestContent.FromJson(SampleDigest.Team.ToJson());

        again.ToJson().ShouldBe(SampleDigest.Team.ToJson());
        again.Team!.Clinicians[0].Alerts.ShouldBe(SampleDigest.Team.Team!.Clinicians[0].Alerts);
        again.Persisting.ShouldBe(SampleDigest.Team.Persisting);
    }

    private static DigestContent ContentOf(string sample) =>
        sample switch
        {
            "full" => SampleDigest.Full,
            "team" => SampleDigest.Team,
            _ => SampleDigest.Empty,
        };

    private static string Plain(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static void ShouldBeKept(string text, string file, [CallerFilePath] string here = "")
    {
        var path = Path.Combine(Path.GetDirectoryName(here)!, "Snapshots", file);
        if (Environment.GetEnvironmentVariable("CASELOAD_ACCEPT_SNAPSHOTS") == "1")
        {
            File.WriteAllText(path, text);
        }
        text.ShouldBe(File.ReadAllText(path).ReplaceLineEndings("\n"));
    }
}
