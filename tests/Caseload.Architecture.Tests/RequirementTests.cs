using System.Text.RegularExpressions;
using Caseload.Data.Access;

namespace Caseload.Architecture.Tests;

/// <summary>What the contributor guide says about access and security is what the code has.</summary>
public sealed partial class RequirementTests
{
    private const int Requirements = 55;

    private static string Guide => Repository.Texts.Single(file => file.Path == "DEVELOPERS.md").Text;

    [Fact]
    public void PermissionTable_InTheGuide_IsTheOneOfTheCode()
    {
        var table = Guide.Split("<!-- permissions -->")[1].Split("<!-- /permissions -->")[0];

        table.Trim().ShouldBe(PermissionTable.ToMarkdown().Trim());
    }

    [Fact]
    public void Requirements_InTheGuide_AreAllListedOnce() =>
        Rows().Select(row => row.Id).ShouldBe(Enumerable.Range(1, Requirements).Select(number => $"SEC-{number:00}"));

    [Fact]
    public void Requirements_CalledProved_NameTestsThatSaySo() =>
        Rows()
            .Where(row => row.Status == "proved")
            .SelectMany(row =>
                ClassName()
                    .Matches(row.How)
                    .Select(match => (row.Id, Class: match.Groups["name"].Value))
                    .DefaultIfEmpty((row.Id, Class: ""))
            )
            .Where(claim => !IsProvedBy(claim.Id, claim.Class))
            .ShouldBeEmpty();

    [Fact]
    public void Requirements_NotProved_SayWhy() =>
        Rows()
            .Where(row => row.Status != "proved")
            .ShouldAllBe(row => (row.Status == "argued" || row.Status == "not applicable" || row.Status == "open") && row.How.Length > 20);

    private static bool IsProvedBy(string requirement, string className) =>
        Repository.Texts.Any(file =>
            file.IsIn("tests")
            && file.Text.Contains($"class {className}", StringComparison.Ordinal)
            && file.Text.Contains($"Trait(\"Requirement\", \"{requirement}\")", StringComparison.Ordinal)
        );

    private static IEnumerable<(string Id, string Status, string How)> Rows() =>
        Row().Matches(Guide).Select(match => (match.Groups["id"].Value, match.Groups["status"].Value, match.Groups["how"].Value));

    [GeneratedRegex(
        @"^\| (?<id>SEC-\d\d) \| [^|]+ \| (?<status>[a-z ]+) \| (?<how>[^|]+) \|$",
        RegexOptions.ExplicitCapture | RegexOptions.Multiline,
        1000
    )]
    private static partial Regex Row();

    [GeneratedRegex("`(?<name>[A-Za-z]+Tests)`", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex ClassName();
}
