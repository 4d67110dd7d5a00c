using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Caseload.Architecture.Tests;

/// <summary>The repository as somebody finds it who has just cloned it.</summary>
public sealed partial class RepositoryTests
{
    private static readonly string[] _topLevel =
    [
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "Caseload.sln",
        "docker-compose.yml",
        "src",
        "tests",
        "deploy",
        "demo-seed",
        // What tools look for, from each project upwards or in the root.
        ".ci",
        ".config",
        ".csharpierignore",
        ".csharpierrc",
        ".dockerignore",
        ".editorconfig",
        ".gitattributes",
        ".gitignore",
        "Directory.Build.props",
        "Directory.Packages.props",
        "global.json",
    ];

    [Fact]
    public void TopLevel_Always_HoldsOnlyWhatIsListed() => Unlisted(Repository.TopLevel).ShouldBeEmpty();

    [Fact]
    public void TopLevel_WhenSomethingElseLiesThere_IsCaught() =>
        Unlisted(["src", "notes.txt", "scripts"]).ShouldBe(["notes.txt", "scripts"]);

    [Fact]
    public void Files_Always_AreFound()
    {
        // Rules over files would hold for an empty list as well.
        Repository.Texts.Count.ShouldBeGreaterThan(300);
        Repository.Code.Count().ShouldBeGreaterThan(100);
        Repository.Razor.Count().ShouldBeGreaterThan(30);
        Repository.Projects.Count().ShouldBeGreaterThan(10);
    }

    [Fact]
    public void Texts_Always_NameNoMachine()
    {
        MachinePlaces(Repository.Texts).ShouldBeEmpty();
    }

    [Fact]
    public void MachinePlace_WhenPlanted_IsCaught()
    {
        // Put together here, so that this file does not hold what it looks for.
        string[] places =
        [
            "/wor" + "k/main",
            "/roo" + "t/.nuget",
            "/hom" + "e/anna/caseload",
            @"C:\User" + @"s\anna",
            "http://192.168" + ".4.7:8081",
            "https://nex" + "us.example/v3",
            "https://packages.our" + ".lan/v3",
        ];

        MachinePlaces(places.Select(place => new RepositoryFile("src/Planted.cs", $"x = \"{place}\";"))).Count().ShouldBe(places.Length);
        MachinePlaces([
                new RepositoryFile("src/Fine.cs", "http://127.0.0.1:5080 http://0.0.0.0:8080 https://dotnet.microsoft.com var/work/x"),
            ])
            .ShouldBeEmpty();
    }

    [Fact]
    public void LaterWork_Always_HasAnIssue() => LaterWorkWithoutIssue(Repository.Texts).ShouldBeEmpty();

    [Fact]
    public void LaterWork_WhenPlantedWithoutAnIssue_IsCaught()
    {
        var word = "TO" + "DO";

        LaterWorkWithoutIssue([new RepositoryFile("a.cs", $"// {word}: later"), new RepositoryFile("b.cs", $"// {word} #12: later")])
            .ShouldBe(["a.cs:1"]);
    }

    [Fact]
    public void Projects_Always_AreInTheSolution() =>
        NotInTheSolution(Repository.Projects, Repository.Texts.Single(file => file.Path == "Caseload.sln").Text).ShouldBeEmpty();

    [Fact]
    public void Project_WhenPlantedOutsideTheSolution_IsCaught() =>
        NotInTheSolution([new RepositoryFile("src/Left/Left.csproj", "")], "Project(...) = \"Other\", \"src\\Other\\Other.csproj\"")
            .ShouldBe(["src/Left/Left.csproj"]);

    [Fact]
    public void Packages_Always_HaveTheirVersionsInOnePlace() => OwnVersions(Repository.Projects).ShouldBeEmpty();

    [Fact]
    public void PackageVersion_WhenPlantedInAProject_IsCaught()
    {
        OwnVersions([
                new RepositoryFile(
                    "a.csproj",
                    "<Project><ItemGroup><PackageReference Include=\"X\" Version=\"1.0\" /></ItemGroup></Project>"
                ),
            ])
            .ShouldBe(["a.csproj: X"]);
        OwnVersions([
                new RepositoryFile(
                    "b.csproj",
                    "<Project><ItemGroup><PackageReference Include=\"X\" VersionOverride=\"1.0\" /></ItemGroup></Project>"
                ),
            ])
            .ShouldBe(["b.csproj: X"]);
        OwnVersions([new RepositoryFile("c.csproj", "<Project><ItemGroup><PackageReference Include=\"X\" /></ItemGroup></Project>")])
            .ShouldBeEmpty();
    }

    [Fact]
    public void Versions_Always_AreExactAndUsed()
    {
        var versions = XDocument
            .Parse(Repository.Texts.Single(file => file.Path == "Directory.Packages.props").Text)
            .Descendants("PackageVersion")
            .ToDictionary(version => version.Attribute("Include")!.Value, version => version.Attribute("Version")!.Value);
        var used = Repository
            .Texts.Where(file => file.EndsWith(".csproj") || file.Path == "Directory.Build.props")
            .SelectMany(file => XDocument.Parse(file.Text).Descendants("PackageReference"))
            .Select(reference => reference.Attribute("Include")!.Value)
            .ToHashSet();

        versions.Values.ShouldAllBe(version => !version.Contains('*') && !version.Contains('[') && !version.Contains('('));
        used.Except(versions.Keys).ShouldBeEmpty();
    }

    [Fact]
    public void Projects_Always_LockTheirPackages() => Unlocked(Repository.Projects).ShouldBeEmpty();

    [Fact]
    public void Project_WhenPlantedWithoutALock_IsCaught() =>
        Unlocked([new RepositoryFile("src/Left/Left.csproj", "")]).ShouldBe(["src/Left/Left.csproj"]);

    [GeneratedRegex(
        """(?<![\w.])/(?:work|root)/|(?<![\w.])/home/\w|[A-Z]:\\Users\\|//(?:10\.\d+|192\.168|172\.(?:1[6-9]|2\d|3[01]))\.\d+\.\d+(?![\d.])|https?://[\w.-]*(?:\.(?:internal|intern|lan|corp|local)\b|\b(?:nexus|artifactory|jfrog)\b)""",
        RegexOptions.None,
        1000
    )]
    private static partial Regex MachinePlace();

    [GeneratedRegex(@"\b[T]ODO\b(?!.*#\d)", RegexOptions.None, 1000)]
    private static partial Regex LaterWork();

    private static IEnumerable<string> Unlisted(IEnumerable<string> names) => names.Except(_topLevel).Order(StringComparer.Ordinal);

    private static IEnumerable<string> Hits(IEnumerable<RepositoryFile> files, Func<string, bool> isHit) =>
        files
            // Lock files hold hashes and versions only, and any four numbers look like an address.
            .Where(file => !file.EndsWith("packages.lock.json"))
            .SelectMany(file => file.Lines.Index().Where(line => isHit(line.Item)).Select(line => $"{file.Path}:{line.Index + 1}"));

    private static IEnumerable<string> MachinePlaces(IEnumerable<RepositoryFile> files) => Hits(files, MachinePlace().IsMatch);

    private static IEnumerable<string> LaterWorkWithoutIssue(IEnumerable<RepositoryFile> files) =>
        Hits(files, line => LaterWork().IsMatch(line));

    private static IEnumerable<string> NotInTheSolution(IEnumerable<RepositoryFile> projects, string solution) =>
        projects
            .Select(project => project.Path)
            .Where(path => !solution.Contains($"\"{path.Replace('/', '\\')}\"", StringComparison.Ordinal));

    private static IEnumerable<string> OwnVersions(IEnumerable<RepositoryFile> projects) =>
        projects.SelectMany(project =>
            XDocument
                .Parse(project.Text)
                .Descendants("PackageReference")
                .Where(reference =>
                    reference.Attribute("Version") is not null
                    || reference.Attribute("VersionOverride") is not null
                    || reference.Element("Version") is not null
                )
                .Select(reference => $"{project.Path}: {reference.Attribute("Include")!.Value}")
        );

    private static IEnumerable<string> Unlocked(IEnumerable<RepositoryFile> projects) =>
        projects
            .Select(project => project.Path)
            .Where(path => !Repository.Exists(Path.Combine(Path.GetDirectoryName(path)!, "packages.lock.json")));
}
