using System.Text.Json;

namespace Caseload.Integration.Tests.Deploy;

/// <summary>The bill of materials says what is in the lock files, all of it and nothing else.</summary>
[Trait("Requirement", "SEC-53")]
public sealed class MaterialsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Materials_WhenListed_AreThePackagesOfTheLockFiles()
    {
        using var materials = await ListAsync();

        var listed = Components(materials).Select(component => $"{Text(component, "name")} {Text(component, "version")}").ToList();

        var locked = LockFiles().SelectMany(file => PackagesOf(file)).ToHashSet();
        locked.Count.ShouldBeGreaterThan(100);
        listed.ShouldBe(locked, ignoreOrder: true);
    }

    [Fact]
    public async Task Materials_WhenOnlyTestsNeedThem_AreMarked()
    {
        using var materials = await ListAsync();
        var scopes = Components(materials)
            .ToDictionary(part => $"{Text(part, "name")} {Text(part, "version")}", part => Text(part, "scope"));
        var needed = LockFiles().Where(file => !RepositoryFiles.IsIn(file, "tests")).SelectMany(file => PackagesOf(file)).ToHashSet();

        foreach (var (package, scope) in scopes)
        {
            scope.ShouldBe(needed.Contains(package) ? "required" : "excluded", package);
        }
        scopes.Values.Distinct().Count().ShouldBe(2);
    }

    [Fact]
    public async Task Materials_WhenRead_AreCycloneDx()
    {
        using var materials = await ListAsync();
        var top = materials.RootElement;

        Text(top, "bomFormat").ShouldBe("CycloneDX");
        Text(top, "specVersion").ShouldBe("1.6");
        Text(top.GetProperty("metadata").GetProperty("component"), "name").ShouldBe("Caseload");
        var references = Components(materials).Select(component => Text(component, "bom-ref")).ToList();
        references.Distinct().Count().ShouldBe(references.Count);
        references.ShouldAllBe(reference => reference.StartsWith("pkg:nuget/", StringComparison.Ordinal) && reference.Contains('@'));
    }

    [Fact]
    public void Restore_WhenTesting_UsesTheLockFiles() =>
        RepositoryFiles.Read("deploy/test").ShouldContain("dotnet restore Caseload.sln --locked-mode");

    [Fact]
    public void Packages_WhenRestored_AreComparedWithTheKnownAdvisories()
    {
        var properties = RepositoryFiles.Read("Directory.Build.props");

        properties.ShouldContain("<NuGetAudit>true</NuGetAudit>");
        properties.ShouldContain("<NuGetAuditMode>all</NuGetAuditMode>");
        properties.ShouldContain("<NuGetAuditLevel>low</NuGetAuditLevel>");
    }

    private static async Task<JsonDocument> ListAsync()
    {
        var (code, output) = await RepositoryFiles.RunAsync("deploy/materials", [], Cancellation);
        code.ShouldBe(0, output);
        return JsonDocument.Parse(output);
    }

    private static List<JsonElement> Components(JsonDocument materials) =>
        [.. materials.RootElement.GetProperty("components").EnumerateArray()];

    private static IReadOnlyList<string> LockFiles() => RepositoryFiles.Find("packages.lock.json");

    private static IEnumerable<string> PackagesOf(string lockFile)
    {
        using var document = JsonDocument.Parse(File.ReadAllText(lockFile));
        foreach (
            var package in document.RootElement.GetProperty("dependencies").EnumerateObject().SelectMany(set => set.Value.EnumerateObject())
        )
        {
            if (Text(package.Value, "type") != "Project")
            {
                yield return $"{package.Name} {Text(package.Value, "resolved")}";
            }
        }
    }

    private static string Text(JsonElement element, string property) => element.GetProperty(property).GetString()!;
}
