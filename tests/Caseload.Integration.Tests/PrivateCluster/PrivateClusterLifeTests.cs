using System.Globalization;
using Caseload.Data.PrivateCluster;
using Npgsql;
using Cluster = Caseload.Data.PrivateCluster.PrivateCluster;

namespace Caseload.Integration.Tests.PrivateCluster;

public sealed class PrivateClusterLifeTests : IAsyncDisposable
{
    private readonly ClusterFolder _folder = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public ValueTask DisposeAsync() => _folder.DisposeAsync();

    [Fact]
    public async Task Start_WhenStarterWasKilled_AttachesToTheRunningServer()
    {
        using var starter = await StarterProcess.StartAsync(_folder.DataFolder);
        var pid = await _folder.ReadServerPidAsync(Cancellation);
        starter.Kill();
        await starter.WaitForExitAsync(Cancellation);

        await using var cluster = await _folder.StartAsync(Cancellation);

        cluster.Attached.ShouldBeTrue();
        (await _folder.ReadServerPidAsync(Cancellation)).ShouldBe(pid);
        (await Sql.AskAsync(cluster.AppConnectionString, "SELECT 1", Cancellation)).ShouldBe(1);
    }

    [Fact]
    public async Task Start_WhenServerWasKilled_RecoversEveryConfirmedRow()
    {
        await using (var first = await _folder.StartAsync(Cancellation))
        {
            await Sql.AskAsync(first.OwnerConnectionString, "CREATE TABLE note (id int PRIMARY KEY)", Cancellation);
            await Sql.AskAsync(first.OwnerConnectionString, "INSERT INTO note SELECT generate_series(1, 1000)", Cancellation);
            await _folder.KillServerAsync(Cancellation);
        }

        await using var second = await _folder.StartAsync(Cancellation);

        second.Attached.ShouldBeFalse();
        (await Sql.AskAsync(second.OwnerConnectionString, "SELECT count(*) FROM note", Cancellation)).ShouldBe(1000L);
    }

    [Fact]
    public async Task EnsureRunning_WhenServerWasKilled_StartsItAgain()
    {
        await using var cluster = await _folder.StartAsync(durable: false, Cancellation);
        await _folder.KillServerAsync(Cancellation);

        (await cluster.EnsureRunningAsync(Cancellation)).ShouldBeFalse();
        (await cluster.EnsureRunningAsync(Cancellation)).ShouldBeTrue();
        (await Sql.AskAsync(cluster.AppConnectionString, "SELECT 1", Cancellation)).ShouldBe(1);
    }

    [Fact]
    public async Task Start_WhenAskedTwiceAtOnce_RunsOneServer()
    {
        var starts = Enumerable.Range(0, 4).Select(_ => _folder.StartAsync(durable: false, Cancellation));

        var clusters = await Task.WhenAll(starts);

        clusters.Count(cluster => !cluster.Attached).ShouldBe(1);
        clusters.Select(cluster => cluster.OwnerConnectionString).Distinct().Count().ShouldBe(1);
        foreach (var cluster in clusters)
        {
            await cluster.StopAsync(Cancellation);
        }
    }

    [Fact]
    public async Task Stop_WhenAnotherProcessUsesTheServer_LeavesItUp()
    {
        using var other = await StarterProcess.StartAsync(_folder.DataFolder);
        var cluster = await _folder.StartAsync(Cancellation);

        await cluster.StopAsync(Cancellation);

        (await Sql.AskAsync(cluster.AppConnectionString, "SELECT 1", Cancellation)).ShouldBe(1);
        other.Kill();
        await other.WaitForExitAsync(Cancellation);
    }

    [Fact]
    public async Task Stop_WhenNobodyElseUsesTheServer_EndsIt()
    {
        var cluster = await _folder.StartAsync(durable: false, Cancellation);

        await cluster.StopAsync(Cancellation);
        await cluster.StopAsync(Cancellation);

        File.Exists(Path.Combine(_folder.DataFolder, "postgres", "postmaster.pid")).ShouldBeFalse();
        await Should.ThrowAsync<NpgsqlException>(() => Sql.AskAsync(cluster.OwnerConnectionString, "SELECT 1", Cancellation));
    }

    [Fact]
    public async Task Start_WhenClusterIsOfAnotherMajor_IsRefusedWithAdvice()
    {
        await using (await _folder.StartAsync(durable: false, Cancellation)) { }

        var versionFile = Path.Combine(_folder.DataFolder, "postgres", "PG_VERSION");
        var version = await File.ReadAllTextAsync(versionFile, Cancellation);
        await File.WriteAllTextAsync(versionFile, "13\n", Cancellation);

        var refusal = await Should.ThrowAsync<PrivateClusterException>(() => _folder.StartAsync(Cancellation));

        refusal.Message.ShouldContain("made by PostgreSQL 13");
        refusal.Message.ShouldContain("pg_upgrade");
        refusal.Message.ShouldContain("pg_dump");
        await File.WriteAllTextAsync(versionFile, version, Cancellation);
    }

    [Fact]
    public async Task Start_WhenFolderNamesAreLong_ListensOnLoopbackOnly()
    {
        await using var folder = new ClusterFolder(new string('x', 90));

        await using var cluster = await folder.StartAsync(durable: false, Cancellation);

        var address = new NpgsqlConnectionStringBuilder(cluster.OwnerConnectionString);
        var loopback = string.Create(CultureInfo.InvariantCulture, $"0100007F:{address.Port:X4}");
        var pid = await folder.ReadServerPidAsync(Cancellation);
        (await ListeningPorts.OfAsync(pid, Cancellation)).ShouldBe([loopback]);

        await using var again = await folder.StartAsync(Cancellation);
        again.Attached.ShouldBeTrue();
    }

    [Fact]
    public async Task Start_WhenPasswordFileIsGone_IsRefused()
    {
        await using (await _folder.StartAsync(durable: false, Cancellation)) { }
        File.Delete(_folder.PasswordFile);

        var refusal = await Should.ThrowAsync<PrivateClusterException>(() => _folder.StartAsync(Cancellation));

        refusal.Message.ShouldContain(_folder.PasswordFile);
    }

    [Fact]
    public async Task Start_WhenFolderCannotBeReached_SaysHowToChooseAnother()
    {
        await using var folder = new ClusterFolder("inside");
        var parent = Path.GetDirectoryName(folder.DataFolder)!;
        Directory.CreateDirectory(parent);
        File.SetUnixFileMode(parent, UnixFileMode.None);

        var refusal = await Should.ThrowAsync<PrivateClusterException>(() => folder.StartAsync(Cancellation));

        refusal.Message.ShouldContain("--data");
    }

    [Fact]
    public async Task Start_WhenThereIsNoServerProgram_NamesThreeWaysOn()
    {
        var options = new PrivateClusterOptions(_folder.DataFolder, BinariesFolder: "/nowhere");

        var refusal = await Should.ThrowAsync<PrivateClusterException>(() => Cluster.StartAsync(options, log: null, Cancellation));

        refusal.Message.ShouldContain("apt install postgresql");
        refusal.Message.ShouldContain("ConnectionStrings__Caseload");
        refusal.Message.ShouldContain("docker compose up");
    }

    [Theory]
    [InlineData("with 'quote")]
    [InlineData("with $dollar")]
    [InlineData("with,comma")]
    public async Task Start_WhenFolderNameCannotPassAShell_IsRefused(string name)
    {
        await using var folder = new ClusterFolder(name);

        var refusal = await Should.ThrowAsync<PrivateClusterException>(() => folder.StartAsync(Cancellation));

        refusal.Message.ShouldContain(name);
    }

    [Fact]
    public async Task Start_WhenFolderNameHasSpacesAndAccents_Works()
    {
        await using var folder = new ClusterFolder("für Kinder");

        await using var cluster = await folder.StartAsync(durable: false, Cancellation);

        (await Sql.AskAsync(cluster.AppConnectionString, "SELECT 1", Cancellation)).ShouldBe(1);
    }
}
