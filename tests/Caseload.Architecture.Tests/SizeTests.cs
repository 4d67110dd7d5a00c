using System.Text.RegularExpressions;

namespace Caseload.Architecture.Tests;

/// <summary>How long a file may be before it is cut along a seam.</summary>
public sealed partial class SizeTests
{
    private const int MostLinesOfPage = 150;
    private const int MostLinesOfComponent = 100;
    private const int MostLinesOfInlineCode = 30;
    private const int MostLinesOfCodeBehind = 200;
    private const int MostLinesOfCode = 400;
    private const int MostLinesOfHandling = 80;

    [Fact]
    public void RazorFiles_Always_FitTheirBudget() => TooLongRazor(Repository.Razor).ShouldBeEmpty();

    [Fact]
    public void RazorFile_WhenPlantedTooLong_IsCaught()
    {
        TooLongRazor([File("Page.razor", "@page \"/planted\"\n" + Lines(150))]).ShouldBe(["src/Page.razor: 151 lines of 150"]);
        TooLongRazor([File("Page.razor", "@page \"/planted\"\n" + Lines(149))]).ShouldBeEmpty();
        TooLongRazor([File("Card.razor", Lines(101))]).ShouldBe(["src/Card.razor: 101 lines of 100"]);
    }

    [Fact]
    public void InlineCode_Always_IsShortAndAsksForNothing() => HeavyInlineCode(Repository.Razor).ShouldBeEmpty();

    [Fact]
    public void InlineCode_WhenPlantedHeavy_IsCaught()
    {
        var counted = string.Join('\n', Enumerable.Repeat("    private int _x;", 31));

        HeavyInlineCode([File("Card.razor", $"<p></p>\n@code {{\n    /// <summary>Not counted.</summary>\n\n{counted}\n}}\n")])
            .ShouldBe(["src/Card.razor: 31 lines of code of 30"]);
        HeavyInlineCode([File("Asks.razor", "@inject TimeProvider Time\n")]).ShouldBe(["src/Asks.razor: asks for something"]);
        HeavyInlineCode([File("Asks.razor", "@code {\n    [Inject]\n    private TimeProvider Time { get; set; }\n}\n")])
            .ShouldBe(["src/Asks.razor: asks for something"]);
    }

    [Fact]
    public void CodeFiles_Always_FitTheirBudget() => TooLongCode(Repository.Code).ShouldBeEmpty();

    [Fact]
    public void CodeFile_WhenPlantedTooLong_IsCaught() =>
        TooLongCode([File("Page.razor.cs", Lines(201)), File("Rule.cs", Lines(401)), File("Fits.cs", Lines(400))])
            .ShouldBe(["src/Page.razor.cs: 201 lines of 200", "src/Rule.cs: 401 lines of 400"]);

    [Fact]
    public void Handling_Always_FitsItsBudget()
    {
        BodiesOf(Repository.Code).Count().ShouldBeGreaterThan(5);
        TooLongHandling(Repository.Code).ShouldBeEmpty();
    }

    [Fact]
    public void Handling_WhenPlantedTooLong_IsCaught()
    {
        TooLongHandling([File("SaveAll.cs", Handler(81))]).ShouldBe(["src/SaveAll.cs: 81 lines of 80"]);
        TooLongHandling([File("SaveAll.cs", Handler(80))]).ShouldBeEmpty();
    }

    [GeneratedRegex(
        @"^    public (?:async )?\S.* HandleAsync\([^;{]*?^    \{\n(?<body>.*?)^    \}",
        RegexOptions.Multiline | RegexOptions.Singleline | RegexOptions.ExplicitCapture,
        1000
    )]
    private static partial Regex Handling();

    [GeneratedRegex(@"^@code \{\n(?<code>.*)^\}", RegexOptions.Multiline | RegexOptions.Singleline | RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex InlineCode();

    private static IEnumerable<string> TooLongRazor(IEnumerable<RepositoryFile> files) =>
        TooLong(files, file => file.Text.Contains("@page ", StringComparison.Ordinal) ? MostLinesOfPage : MostLinesOfComponent);

    private static IEnumerable<string> TooLongCode(IEnumerable<RepositoryFile> files) =>
        TooLong(files, file => file.EndsWith(".razor.cs") ? MostLinesOfCodeBehind : MostLinesOfCode);

    private static IEnumerable<string> TooLong(IEnumerable<RepositoryFile> files, Func<RepositoryFile, int> most) =>
        files.Where(file => file.Lines.Length > most(file)).Select(file => $"{file.Path}: {file.Lines.Length} lines of {most(file)}");

    private static IEnumerable<string> HeavyInlineCode(IEnumerable<RepositoryFile> files)
    {
        foreach (var file in files)
        {
            if (file.Text.Contains("@inject ", StringComparison.Ordinal) || file.Text.Contains("[Inject]", StringComparison.Ordinal))
            {
                yield return $"{file.Path}: asks for something";
            }
            // Documentation of parameters is welcome and does not count.
            var count = InlineCode()
                .Match(file.Text)
                .Groups["code"]
                .Value.Split('\n')
                .Count(line => line.Trim() is [_, ..] and not ['/', '/', '/', ..]);
            if (count > MostLinesOfInlineCode)
            {
                yield return $"{file.Path}: {count} lines of code of {MostLinesOfInlineCode}";
            }
        }
    }

    private static IEnumerable<(string Path, int Count)> BodiesOf(IEnumerable<RepositoryFile> files) =>
        files.SelectMany(file =>
            Handling().Matches(file.Text).Select(match => (file.Path, match.Groups["body"].Value.TrimEnd('\n').Split('\n').Length))
        );

    private static IEnumerable<string> TooLongHandling(IEnumerable<RepositoryFile> files) =>
        BodiesOf(files)
            .Where(body => body.Count > MostLinesOfHandling)
            .Select(body => $"{body.Path}: {body.Count} lines of {MostLinesOfHandling}");

    private static RepositoryFile File(string name, string text) => new("src/" + name, text);

    private static string Lines(int count) => string.Join('\n', Enumerable.Repeat("x", count)) + "\n";

    private static string Handler(int count) =>
        "public sealed class SaveAllHandler\n{\n    public async Task<int> HandleAsync(Actor actor, CancellationToken ct)\n    {\n"
        + string.Join('\n', Enumerable.Repeat("        _count++;", count))
        + "\n    }\n\n    private void Other()\n    {\n    }\n}\n";
}
