using System.Text.RegularExpressions;

namespace Caseload.Architecture.Tests;

/// <summary>What types are called, and what logs may say.</summary>
public sealed partial class WordTests
{
    private static readonly string[] _emptyEndings = ["Manager", "Helper", "Helpers", "Util", "Utils", "Service", "Data", "Info", "Dto"];

    private static readonly string[] _aboutPeople = ["Name", "GivenName", "FamilyName", "Note", "BornOn"];

    [Fact]
    public void Types_Always_HaveNamesThatSaySomething() =>
        EmptyNames(
                House
                    .ReflectedFrom(House.Domain)
                    .Concat(House.ReflectedFrom(House.Data))
                    .Concat(House.ReflectedFrom(House.Web))
                    .Concat(House.ReflectedFrom(House.DemoSeed))
            )
            .ShouldBeEmpty();

    [Fact]
    public void EmptyName_WhenPlanted_IsCaught() =>
        EmptyNames(House.ReflectedPlanted("Names"))
            .ShouldBe(["ChildDto", "ChildManager", "DateHelper", "DateUtils", "PlantedService`1", "VisitInfo"], ignoreOrder: true);

    [Fact]
    public void Logs_Always_KeepPeopleOut() => LeakyLogs(Repository.Code.Concat(Repository.Razor)).ShouldBeEmpty();

    [Theory]
    [InlineData("""logger.LogInformation("Saved {@Child}", child);""", "{@")]
    [InlineData("""logger.LogWarning("Saved {GivenName}", child.GivenName);""", "{GivenName}")]
    [InlineData("""logger.LogError(failure, "Could not save {ChildId}, born {BornOn:yyyy-MM-dd}", id, on);""", "{BornOn}")]
    [InlineData("""Log.Debug("Note was {Note}", note);""", "{Note}")]
    [InlineData("""logger.LogInformation($"Saved {child.FamilyName}");""", "{FamilyName}")]
    [InlineData("""[LoggerMessage(7, LogLevel.Information, "Opened {Name}")]""", "{Name}")]
    [InlineData("logger.LogInformation(\n    \"Saved {Code} {FamilyName}\",\n    code, name);", "{FamilyName}")]
    public void LeakyLog_WhenPlanted_IsCaught(string code, string hole) =>
        LeakyLogs([new RepositoryFile("src/Planted.cs", code)]).ShouldBe(["src/Planted.cs: " + hole]);

    [Theory]
    [InlineData("""logger.LogError(failure, "Failure {Reference} at {Place}", reference, place);""")]
    [InlineData("""logger.LogInformation("Saved child {ChildId} of {ProgrammeName}", id, name);""")]
    [InlineData("""return $"{child.GivenName} {child.FamilyName}";""")]
    public void Log_WhenItNamesNobody_IsLeftAlone(string code) => LeakyLogs([new RepositoryFile("src/Planted.cs", code)]).ShouldBeEmpty();

    [GeneratedRegex(
        @"(?:\bLog(?:Trace|Debug|Information|Warning|Error|Critical)|\bLog(?:ger)?\.(?:Verbose|Debug|Information|Warning|Error|Fatal)|\bLoggerMessage)\(.*?[)\]]\s*[;\]]|\bLoggerMessage\(.*?\)\]",
        RegexOptions.Singleline,
        1000
    )]
    private static partial Regex LogCall();

    [GeneratedRegex(@"\{(?:\w+[!?]?\.)*(?<name>\w+)(?:[,:][^}]*)?\}", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Hole();

    private static IEnumerable<string> EmptyNames(IEnumerable<Type> types) =>
        types
            .Select(type => type.Name)
            .Where(name => _emptyEndings.Any(ending => name.Split('`')[0].EndsWith(ending, StringComparison.Ordinal)));

    private static IEnumerable<string> LeakyLogs(IEnumerable<RepositoryFile> files) =>
        files.SelectMany(file =>
            (file.Text.Contains("{@", StringComparison.Ordinal) && file.EndsWith(".cs") ? ["{@"] : Array.Empty<string>())
                .Concat(
                    LogCall()
                        .Matches(file.Text)
                        .SelectMany(call => Hole().Matches(call.Value))
                        .Select(hole => hole.Groups["name"].Value)
                        .Where(_aboutPeople.Contains)
                        .Select(hole => $"{{{hole}}}")
                )
                .Select(hole => $"{file.Path}: {hole}")
        );
}
