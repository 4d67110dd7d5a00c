using Caseload.Integration.Tests.PrivateCluster;

namespace Caseload.Integration.Tests.Deploy;

public sealed class BackupScriptTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("")]
    [InlineData("a-folder-name-so-long-that-the-path-of-a-socket-in-it-would-not-fit-and-the-server-uses-a-port")]
    public async Task Backup_WhenDatabaseIsRunning_KeepsADumpItRestored(string subfolder)
    {
        await using var folder = new ClusterFolder(subfolder);
        await using var cluster = await folder.StartAsync(durable: false, Cancellation);
        await Sql.AskAsync(cluster.OwnerConnectionString, "CREATE TABLE note AS SELECT generate_series(1, 300) AS id", Cancellation);

        var (exitCode, output) = await RepositoryFiles.RunAsync("deploy/backup", ["--data", folder.DataFolder], Cancellation);

        exitCode.ShouldBe(0, output);
        output.ShouldContain("Checked 1 tables by restoring them.");
        Directory.GetFiles(Path.Combine(folder.DataFolder, "backups")).ShouldHaveSingleItem().ShouldEndWith(".dump");
        var databases = await Sql.AskAsync(
            cluster.OwnerConnectionString,
            "SELECT count(*) FROM pg_database WHERE datname LIKE 'caseload_restore_check%'",
            Cancellation
        );
        databases.ShouldBe(0L);
    }

    [Fact]
    public async Task Backup_WhenThereIsNoDatabase_SaysSoAndKeepsNothing()
    {
        await using var folder = new ClusterFolder();

        var (exitCode, output) = await RepositoryFiles.RunAsync("deploy/backup", ["--data", folder.DataFolder], Cancellation);

        exitCode.ShouldBe(1);
        output.ShouldContain("There is no database");
        Directory.Exists(folder.DataFolder).ShouldBeFalse();
    }
}
