using System.Globalization;
using Caseload.Domain.Findings;
using Caseload.Domain.Reference;
using Caseload.Testing;
using Caseload.Web.Platform.Families;
using Caseload.Web.Platform.Reports;
using UglyToad.PdfPig;

namespace Caseload.Components.Tests.Papers;

public sealed class FamilyPageTests
{
    private const double HighestGrade = 6;

    public static TheoryData<int, string> Pages { get; } =
        new(Enumerable.Range(0, ReportSamples.All.Count).SelectMany(index => new[] { (index, "en"), (index, "es") }));

    /// <summary>
    /// English by Flesch-Kincaid (Kincaid et al. 1975), Spanish by Crawford (1989) and by Fernandez Huerta (1959), whose scale gives 70 and more to
    /// the sixth grade and below. Coefficients seen in open-source readability libraries, the publications themselves not.
    /// </summary>
    [Theory]
    [MemberData(nameof(Pages))]
    public void Page_Proposed_IsReadByASixthGrader(int report, string language)
    {
        var texts = FamilyTexts.Of(language);
        var page = string.Join('\n', FamilyPage.Propose(ReportSamples.All[report], texts).Select(part => $"{part.Heading}.\n{part.Text}"));

        if (language == "en")
        {
            ReadingGrade.FleschKincaid(page).ShouldBeLessThanOrEqualTo(HighestGrade, page);
        }
        else
        {
            ReadingGrade.Crawford(page).ShouldBeLessThanOrEqualTo(HighestGrade, page);
            ReadingGrade.FernandezHuerta(page).ShouldBeGreaterThanOrEqualTo(70, page);
        }
    }

    /// <summary>That the measure can fail: a sentence of the kind that physicians write.</summary>
    [Fact]
    public void Grade_OfAPhysiciansSentence_IsHigh()
    {
        const string English =
            "Persistence of primitive neonatal responses beyond the expected chronological interval necessitates comprehensive neurodevelopmental evaluation.";
        const string Spanish =
            "La persistencia de respuestas neonatales primitivas más allá del intervalo cronológico esperado necesita una evaluación neurológica exhaustiva.";

        ReadingGrade.FleschKincaid(English).ShouldBeGreaterThan(15);
        ReadingGrade.Crawford(Spanish).ShouldBeGreaterThan(HighestGrade);
        ReadingGrade.FernandezHuerta(Spanish).ShouldBeLessThan(30);
    }

    /// <summary>Syllables as dictionaries part the words; common knowledge, no source.</summary>
    [Theory]
    [InlineData("en", "we", 1)]
    [InlineData("en", "these", 1)]
    [InlineData("en", "body", 2)]
    [InlineData("en", "tummy", 2)]
    [InlineData("en", "family", 3)]
    [InlineData("en", "diagnosis", 4)]
    [InlineData("en", "looked", 1)]
    [InlineData("en", "balance", 2)]
    [InlineData("es", "vimos", 2)]
    [InlineData("es", "cabeza", 3)]
    [InlineData("es", "pie", 1)]
    [InlineData("es", "día", 2)]
    [InlineData("es", "médico", 3)]
    [InlineData("es", "diagnóstico", 4)]
    [InlineData("es", "se", 1)]
    [InlineData("es", "caer", 2)]
    public void Syllables_OfAWord_AreCounted(string language, string word, int count) =>
        (language == "en" ? ReadingGrade.English(word) : ReadingGrade.Spanish(word)).ShouldBe(count);

    [Theory]
    [InlineData("en")]
    [InlineData("es")]
    public void Texts_OfALanguage_NameEveryItemAndNothingAlarming(string language)
    {
        var texts = FamilyTexts.Of(language);
        var names = ReferenceSets.Default.Items.Select(item => texts["Seen." + item.Id]).ToList();
        names.Distinct().Count().ShouldBe(names.Count);
        string[] words =
            language == "en"
                ?
                [
                    "abnormal",
                    "delay",
                    "disorder",
                    "palsy",
                    "damage",
                    "risk",
                    "danger",
                    "worr",
                    "fail",
                    "wrong",
                    "bad",
                    "therap",
                    "exercise",
                    "must",
                    "should do",
                ]
                : ["anormal", "retraso", "trastorno", "parálisis", "daño", "riesgo", "peligro", "preocup", "fall", "terap", "ejercicio"];
        foreach (var report in ReportSamples.All)
        {
            var page = string.Join('\n', FamilyPage.Propose(report, texts).Select(part => part.Text));
            words.ShouldAllBe(word => !page.Contains(word, StringComparison.OrdinalIgnoreCase), page);
        }
    }

    [Fact]
    public void Languages_Always_HaveTheSameTexts()
    {
        var (english, spanish) = (FamilyTexts.Of("en"), FamilyTexts.Of("es"));
        var keys = FamilyTexts.Keys.ToList();

        keys.Count.ShouldBeGreaterThan(60);
        // Only the format of the foot is the same in both.
        keys.Where(key => english[key] == spanish[key]).ShouldBe(["Foot"]);
        foreach (var key in keys)
        {
            Holes(english[key]).ShouldBe(Holes(spanish[key]), key);
        }

        static HashSet<int> Holes(string text) =>
            [.. Enumerable.Range(0, 5).Where(hole => text.Contains($"{{{hole}}}", StringComparison.Ordinal))];
    }

    [Theory]
    [InlineData(null, "en")]
    [InlineData("es", "es")]
    [InlineData("es-MX", "es")]
    [InlineData("pl", "en")]
    public void Language_OfAFamily_IsTheirsWhereThereAreWords(string? tag, string language) =>
        FamilyTexts.Of(tag).Language.ShouldBe(language);

    [Fact]
    public void Page_OfAPretermChild_CountsFromTheDueDateAndNamesWhatComes()
    {
        // Born 2026-01-05 at 31+4, due 2026-03-05: on 2026-09-01 five whole months corrected.
        var report = ReportSamples.Of(Samples.Preterm, "2026-09-01", Samples.Seen("moro", "2026-08-20", Response.Typical));

        var parts = FamilyPage.Propose(report, FamilyTexts.Of("en"));

        parts[0].Text.ShouldContain("Juniper is 5 months old");
        parts[0].Text.ShouldContain("1 September 2026");
        parts[1].Text.ShouldContain("Throws the arms wide when the head dips");
        parts[2].Text.ShouldContain("We plan to see you on 10 September 2026.");
        parts[2].Text.ShouldContain("- ");
        FamilyPage.Propose(report, FamilyTexts.Of("es"))[2].Text.ShouldContain("10 de septiembre de 2026");
    }

    [Fact]
    public void Page_WithAnItemThatIsRuledOut_DoesNotAnnounceIt()
    {
        var report = ReportSamples.Of(Samples.Term, "2026-09-01", Samples.Seen("moro", "2026-08-20", Response.Typical));
        var name = FamilyTexts.Of("en")["Seen.moro"];
        Next(report).ShouldContain(name);

        Next(report with { RuledOut = new HashSet<string> { "moro" } }).ShouldNotContain(name);

        static string Next(ChildReport report) => FamilyPage.Propose(report, FamilyTexts.Of("en"))[2].Text;
    }

    [Theory]
    [InlineData("en", "For the family of Juniper", "Whom to call", "Page 1 of 1", "This page tells what was seen.")]
    [InlineData("es", "Para la familia de Juniper", "A quién llamar", "Página 1 de 1", "Esta hoja dice lo que vimos.")]
    public void Paper_OfAPage_HoldsWhatWasKept(string language, string title, string call, string page, string caution)
    {
        using var stream = new MemoryStream();
        FamilyPaper.Write(
            new FamilySheet(
                title,
                language,
                [new FamilyPart("A", "Own words.\n- one\n- two")],
                "Odette, 555 0100",
                "Larkfield",
                Samples.TodayOn
            ),
            TimeZoneInfo.Utc,
            stream
        );

        using var pdf = PdfDocument.Open(stream.ToArray());
        var words = pdf.GetPage(1).Words();
        words.ShouldContain(title);
        words.ShouldContain("Own words. one two");
        words.ShouldContain($"{call} Odette, 555 0100");
        words.ShouldContain(page);
        words.ShouldContain(caution);
        // Large enough to be read without glasses; common practice, no source.
        pdf.GetPage(1).Letters.First(letter => letter.Value == "O").PointSize.ShouldBeGreaterThanOrEqualTo(12);
    }
}

/// <summary>How hard a text is to read, by published formulas.</summary>
internal static class ReadingGrade
{
    private static readonly char[] _ends = ['.', '!', '?', ':', '\n'];

    internal static double FleschKincaid(string text)
    {
        var (sentences, words, syllables) = Count(text, English);
        return 0.39 * words / sentences + 11.8 * syllables / words - 15.59;
    }

    internal static double Crawford(string text)
    {
        var (sentences, words, syllables) = Count(text, Spanish);
        return -0.205 * (100 * sentences / words) + 0.049 * (100 * syllables / words) - 3.407;
    }

    internal static double FernandezHuerta(string text)
    {
        var (sentences, words, syllables) = Count(text, Spanish);
        return 206.84 - 60 * syllables / words - 1.02 * words / sentences;
    }

    /// <summary>Groups of vowels; an e at the end is silent unless it stands after an l, and so is that of most -ed and -es.</summary>
    internal static int English(string word)
    {
        var letters = word.ToLowerInvariant();
        var count = Groups(letters, letter => "aeiouy".Contains(letter, StringComparison.Ordinal));
        var isSilent =
            (
                letters.EndsWith('e')
                && !letters.EndsWith("le", StringComparison.Ordinal)
                && !letters.EndsWith("ee", StringComparison.Ordinal)
            )
            || (letters.EndsWith("ed", StringComparison.Ordinal) && letters.Length > 3 && letters[^3] is not ('t' or 'd'))
            || (
                letters.EndsWith("es", StringComparison.Ordinal)
                && letters.Length > 3
                && letters[^3] is not ('s' or 'z' or 'x' or 'h' or 'c' or 'g')
            );
        // As in diagnosis; a physician is then read as harder than he is.
        count += letters.Contains("ia", StringComparison.Ordinal) ? 1 : 0;
        return Math.Max(1, isSilent && count > 1 ? count - 1 : count);
    }

    /// <summary>Groups of vowels, parted where two strong ones meet or a weak one carries the accent.</summary>
    internal static int Spanish(string word)
    {
        var letters = word.ToLowerInvariant()
            .Replace("qu", "q", StringComparison.Ordinal)
            .Replace("gue", "ge", StringComparison.Ordinal)
            .Replace("gui", "gi", StringComparison.Ordinal);
        var count = Groups(letters, letter => "aeiouáéíóúü".Contains(letter, StringComparison.Ordinal));
        for (var at = 1; at < letters.Length; at++)
        {
            var (before, here) = (letters[at - 1], letters[at]);
            if (
                IsVowel(before)
                && IsVowel(here)
                && (
                    (IsStrong(before) && IsStrong(here))
                    || "íú".Contains(before, StringComparison.Ordinal)
                    || "íú".Contains(here, StringComparison.Ordinal)
                )
            )
            {
                count++;
            }
        }
        return Math.Max(1, count);

        static bool IsVowel(char letter) => "aeiouáéíóúü".Contains(letter, StringComparison.Ordinal);

        static bool IsStrong(char letter) => "aeoáéó".Contains(letter, StringComparison.Ordinal);
    }

    private static (double Sentences, double Words, double Syllables) Count(string text, Func<string, int> syllables)
    {
        var sentences = text.Split(_ends, StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .Count(sentence => sentence.Any(char.IsLetter));
        var words = text.Split([' ', '\n', '-'], StringSplitOptions.RemoveEmptyEntries)
            .Select(word => string.Concat(word.Where(char.IsLetter)))
            .Where(word => word.Length > 0)
            .ToList();
        return (sentences, words.Count, words.Sum(syllables));
    }

    private static int Groups(string letters, Func<char, bool> isVowel)
    {
        var count = 0;
        for (var at = 0; at < letters.Length; at++)
        {
            count += isVowel(letters[at]) && (at == 0 || !isVowel(letters[at - 1])) ? 1 : 0;
        }
        return count;
    }
}
