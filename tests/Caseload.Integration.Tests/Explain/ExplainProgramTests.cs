using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace Caseload.Integration.Tests.Explain;

/// <summary>The engine from outside: the program is started as anybody would start it, and its JSON is read back.</summary>
public sealed class ExplainProgramTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("caseload-explain-").FullName;

    /// <inheritdoc />
    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private sealed record Answer(int ExitCode, string Output, string Errors)
    {
        internal JsonElement Json => JsonDocument.Parse(Output).RootElement;

        internal JsonElement Item(string id) =>
            Json.GetProperty("items").EnumerateArray().Single(item => item.GetProperty("id").GetString() == id);
    }

    private static async Task<Answer> RunAsync(string? input, params string[] arguments)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
        };
        start.ArgumentList.Add(typeof(Caseload.Explain.ExplainRequest).Assembly.Location);
        foreach (var argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.StandardInput.WriteAsync(input);
        process.StandardInput.Close();
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return new Answer(process.ExitCode, await output, await errors);
    }

    private async Task<string> FileAsync(string content)
    {
        var path = Path.Combine(_folder, $"{Directory.GetFiles(_folder).Length}.json");
        await File.WriteAllTextAsync(path, content, TestContext.Current.CancellationToken);
        return path;
    }

    [Fact]
    public async Task Explain_OfThePublishedExample_GivesItsAges()
    {
        // CDC growth-chart training, module 2, p. 5: born 2001-03-19 at 30 weeks, on 2001-06-11 chronological 12 and corrected 2 weeks.
        var answer = await RunAsync(null, "--born", "2001-03-19", "--gestation", "30", "--on", "2001-06-11");

        answer.ExitCode.ShouldBe(0, answer.Errors);
        var ages = answer.Json.GetProperty("ages");
        ages.GetProperty("days").GetProperty("chronological").GetInt32().ShouldBe(12 * 7);
        ages.GetProperty("days").GetProperty("corrected").GetInt32().ShouldBe(2 * 7);
        ages.GetProperty("corrected").GetProperty("days").GetInt32().ShouldBe(14);
        ages.GetProperty("postmenstrual").GetProperty("weeks").GetInt32().ShouldBe(42);
        ages.GetProperty("expectedOn").GetString().ShouldBe("2001-05-28");
        ages.GetProperty("cautions").GetArrayLength().ShouldBe(0);
    }

    [Fact]
    public async Task Explain_WithFindings_GivesStatesReasonsAndSources()
    {
        var file = await FileAsync(
            """
            [{"item":"atnr","on":"2026-10-20","side":"both","response":"typical","behaviouralState":"quiet-alert"},
             {"item":"babkin","on":"2026-10-20","response":"absent","behaviouralState":"Light sleep"},
             {"item":"moro","on":"2026-10-20","notTested":"asleep"}]
            """
        );

        var answer = await RunAsync(null, "--born", "2026-01-05", "--gestation", "31+4", "--on", "2026-11-01", "--findings", file);

        answer.ExitCode.ShouldBe(0, answer.Errors);
        // ATNR beyond 6 months is abnormal (Univ. of Utah pediatric neurologic examination): expected date 5 March, six months on 5 September.
        var atnr = answer.Item("atnr");
        atnr.GetProperty("state").GetString().ShouldBe("persisting");
        atnr.GetProperty("since").GetString().ShouldBe("2026-10-20");
        atnr.GetProperty("usualThrough").GetString().ShouldBe("2026-09-05");
        atnr.GetProperty("latestThrough").GetString().ShouldBe("2026-10-05");
        atnr.GetProperty("step").GetInt32().ShouldBe(2);
        atnr.GetProperty("reasons")
            .EnumerateArray()
            .SelectMany(reason => reason.GetProperty("sources").EnumerateArray())
            .Select(key => key.GetString())
            .ShouldContain("UTAH");
        answer
            .Item("babkin")
            .GetProperty("reasons")
            .EnumerateArray()
            .Select(reason => reason.GetProperty("code").GetString())
            .ShouldContain("inconclusive-on");
        answer.Item("moro").GetProperty("nextCheck").GetProperty("purpose").GetString().ShouldBe("repeat-inconclusive");
        answer.Json.GetProperty("items").GetArrayLength().ShouldBe(37);
    }

    [Theory]
    [InlineData("--born", "2026-13-05", "--gestation 31+4 --on 2026-09-01")]
    [InlineData("--gestation", "19+6", "--born 2026-01-05 --on 2026-09-01")]
    [InlineData("--gestation", "31+7", "--born 2026-01-05 --on 2026-09-01")]
    [InlineData("--on", "yesterday", "--born 2026-01-05 --gestation 31+4")]
    [InlineData("--born", "2026-10-01", "--gestation 31+4 --on 2026-09-01")]
    [InlineData("--expected", "2026-03-06", "--born 2026-01-05 --gestation 31+4 --on 2026-09-01")]
    [InlineData("--set", "nobody@9", "--born 2026-01-05 --gestation 31+4 --on 2026-09-01")]
    [InlineData("--findings", "/nowhere/file.json", "--born 2026-01-05 --gestation 31+4 --on 2026-09-01")]
    [InlineData("--colour", "red", "--born 2026-01-05 --gestation 31+4 --on 2026-09-01")]
    [InlineData("--correct-until", "30", "--born 2026-01-05 --gestation 31+4 --on 2026-09-01")]
    public async Task Explain_WhenAnOptionIsWrong_EndsWithTwoAndOneLineThatNamesIt(string option, string value, string others)
    {
        var answer = await RunAsync(null, [option, value, .. others.Split(' ')]);

        answer.ExitCode.ShouldBe(2);
        answer.Output.ShouldBeEmpty();
        answer.Errors.TrimEnd().ShouldStartWith(option);
        answer.Errors.TrimEnd().ShouldNotContain('\n');
        answer.Errors.Trim().Length.ShouldBeGreaterThan(option.Length + 20);
    }

    [Theory]
    [InlineData("""[{"on":"2026-05-01","response":"absent"}]""", "item")]
    [InlineData("""[{"item":"knee","on":"2026-05-01","response":"absent"}]""", "knee")]
    [InlineData("""[{"item":"moro","on":"2026-05-01","response":"complete"}]""", "absent, weak, typical, brisk, obligatory")]
    [InlineData("""[{"item":"moro","on":"2026-05-01","response":"absent","behaviouralState":"grumpy"}]""", "quiet-alert")]
    [InlineData("""[{"item":"moro","on":"2025-05-01","response":"absent"}]""", "before the birth")]
    [InlineData("""{"item":"moro"}""", "list")]
    [InlineData("nonsense", "not JSON")]
    public async Task Explain_WhenAFindingIsWrong_NamesTheRowAndTheFix(string findings, string expected)
    {
        var file = await FileAsync(findings);

        var answer = await RunAsync(null, "--born", "2026-01-05", "--gestation", "31+4", "--on", "2026-09-01", "--findings", file);

        answer.ExitCode.ShouldBe(2);
        answer.Errors.ShouldStartWith("--findings");
        answer.Errors.ShouldContain(expected);
    }

    [Fact]
    public async Task Batch_OfManyLines_AnswersEachInOrderAsTheSingleCallDoes()
    {
        var lines = Enumerable
            .Range(0, 500)
            .Select(index =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $$"""{"id":"c{{index}}","born":"{{new DateOnly(2025, 1, 1).AddDays(index):yyyy-MM-dd}}","gestation":"{{24 + index % 18}}+{{index % 7}}","on":"2026-09-01"}"""
                )
            );

        var batch = await RunAsync(string.Join('\n', lines), "--batch", "-");
        var single = await RunAsync(null, "--born", "2025-05-31", "--gestation", "30+3", "--on", "2026-09-01");

        batch.ExitCode.ShouldBe(0, batch.Errors);
        var answers = batch.Output.TrimEnd().Split('\n').Select(line => JsonDocument.Parse(line).RootElement).ToList();
        answers.Select(answer => answer.GetProperty("id").GetString()).ShouldBe(Enumerable.Range(0, 500).Select(index => $"c{index}"));
        // Line 150 is the child of the single call: born 2025-01-01 + 150 days at 24 + 150 mod 18 = 30 weeks and 150 mod 7 = 3 days.
        answers[150].GetProperty("items").GetRawText().ShouldBe(JsonSerializer.Serialize(single.Json.GetProperty("items"), RelaxedJson));
    }

    [Fact]
    public async Task Batch_WhenALineIsWrong_AnswersTheOthersAndSaysWhichLineAndWhy()
    {
        const string Lines = """
            {"born":"2026-01-05","gestation":"31+4","on":"2026-09-01"}
            {"born":"2026-01-05","gestation":"51","on":"2026-09-01"}
            not json
            {"born":"2026-01-05","gestation":"40","on":"2026-09-01"}
            """;

        var answer = await RunAsync(Lines, "--batch", "-");

        answer.ExitCode.ShouldBe(2);
        var lines = answer.Output.TrimEnd().Split('\n');
        lines.Length.ShouldBe(4);
        lines[1].ShouldContain("line 2: gestation");
        lines[2].ShouldContain("line 3");
        lines[3].ShouldContain("\"items\"");
        answer.Errors.ShouldContain("2 line(s)");
    }

    private static readonly JsonSerializerOptions RelaxedJson = new()
    {
        Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };
}
