using System.Text.RegularExpressions;

namespace Caseload.Integration.Tests.Deploy;

public sealed partial class DockerfileTests
{
    private static readonly string[] Lines = RepositoryFiles.Read("deploy/Dockerfile").Split('\n');

    [Fact]
    public void Images_WhenNamed_ArePinnedToAPatch()
    {
        var images = Lines.Where(line => line.StartsWith("FROM ", StringComparison.Ordinal)).ToList();

        images.Count.ShouldBe(2);
        images.ShouldAllBe(line => PinnedImage().IsMatch(line));
    }

    [Fact]
    public void Sdk_WhenNamed_IsTheOneOfGlobalJson()
    {
        var tag = PinnedImage().Match(Lines.First(line => line.Contains("/sdk:", StringComparison.Ordinal))).Groups["tag"].Value;

        RepositoryFiles.Read("global.json").ShouldContain($"\"version\": \"{tag}\"");
    }

    [Fact]
    public void User_WhenTheLastStageStarts_IsNotRoot()
    {
        var lastStage = Array.FindLastIndex(Lines, line => line.StartsWith("FROM ", StringComparison.Ordinal));
        var users = Lines[lastStage..].Where(line => line.StartsWith("USER ", StringComparison.Ordinal)).ToList();

        users.ShouldBe(["USER $APP_UID"]);
    }

    [Fact]
    public void Healthcheck_WhenAsked_NeedsNoOtherProgram()
    {
        var text = string.Join('\n', Lines);

        text.ShouldMatch(@"HEALTHCHECK [^\n]*\\\n\s*CMD \[""/app/Caseload\.Web"", ""health"", ""--urls"", ""http://127\.0\.0\.1:8080""\]");
    }

    [Fact]
    public void Restore_WhenBuilding_UsesTheLockFiles()
    {
        Lines.ShouldContain(line =>
            line.Contains("dotnet restore", StringComparison.Ordinal) && line.EndsWith("--locked-mode", StringComparison.Ordinal)
        );
    }

    [GeneratedRegex(
        @"^FROM \S+/(sdk|aspnet):(?<tag>\d+\.\d+\.\d+)( AS \w+)?$",
        RegexOptions.ExplicitCapture,
        matchTimeoutMilliseconds: 1000
    )]
    private static partial Regex PinnedImage();
}
