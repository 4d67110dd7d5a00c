using Npgsql;
using Cluster = Caseload.Data.PrivateCluster.PrivateCluster;

namespace Caseload.Integration.Tests.PrivateCluster;

public sealed class StartedCluster : IAsyncLifetime
{
    public ClusterFolder Folder { get; } = new();

    public Cluster Cluster { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Cluster = await Folder.StartAsync(CancellationToken.None);

    public async ValueTask DisposeAsync()
    {
        await Cluster.StopAsync();
        await Folder.DisposeAsync();
    }
}

public sealed class PrivateClusterTests(StartedCluster started) : IClassFixture<StartedCluster>
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private Cluster Cluster => started.Cluster;

    [Theory]
    [InlineData("data_checksums", "on")]
    [InlineData("fsync", "on")]
    [InlineData("full_page_writes", "on")]
    [InlineData("synchronous_commit", "on")]
    [InlineData("password_encryption", "scram-sha-256")]
    [InlineData("timezone", "UTC")]
    [InlineData("server_encoding", "UTF8")]
    [InlineData("lc_collate", "C.UTF-8")]
    [InlineData("listen_addresses", "")]
    public async Task Setting_WhenClusterIsCreated_IsSafe(string setting, string expected)
    {
        var actual = await Sql.AskAsync(Cluster.OwnerConnectionString, $"SELECT current_setting('{setting}')", Cancellation);

        actual.ShouldBe(expected);
    }

    [Fact]
    public async Task AccessRules_WhenClusterIsCreated_AllAskForScram()
    {
        var others = await Sql.AskAsync(
            Cluster.OwnerConnectionString,
            "SELECT count(*) FROM pg_hba_file_rules WHERE auth_method <> 'scram-sha-256'",
            Cancellation
        );

        others.ShouldBe(0L);
    }

    [Theory]
    [InlineData(Cluster.OwnerRole)]
    [InlineData(Cluster.AppRole)]
    public async Task Role_WhenPasswordIsWrong_IsRefused(string role)
    {
        var wrong = new NpgsqlConnectionStringBuilder(Cluster.OwnerConnectionString) { Username = role, Password = "guess" };

        var refusal = await Should.ThrowAsync<PostgresException>(() => Sql.AskAsync(wrong.ConnectionString, "SELECT 1", Cancellation));

        refusal.SqlState.ShouldBe(PostgresErrorCodes.InvalidPassword);
    }

    [Fact]
    public async Task AppRole_WhenSignedIn_HasNoSpecialRights()
    {
        var rights = await Sql.AskAsync(
            Cluster.AppConnectionString,
            """
            SELECT current_user || ' ' || (rolsuper OR rolcreatedb OR rolcreaterole OR rolreplication OR rolbypassrls)
            FROM pg_roles WHERE rolname = current_user
            """,
            Cancellation
        );

        rights.ShouldBe("caseload_app false");
    }

    [Fact]
    public async Task AppRole_WhenItCreatesATable_IsRefused()
    {
        var refusal = await Should.ThrowAsync<PostgresException>(() =>
            Sql.AskAsync(Cluster.AppConnectionString, "CREATE TABLE public.own (id int)", Cancellation)
        );

        refusal.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
    }

    [Fact]
    public async Task OwnerRole_WhenSignedIn_OwnsTheDatabase()
    {
        var owner = await Sql.AskAsync(
            Cluster.OwnerConnectionString,
            "SELECT current_database() || ' ' || pg_get_userbyid(datdba) FROM pg_database WHERE datname = current_database()",
            Cancellation
        );

        owner.ShouldBe("caseload caseload_owner");
    }

    [Fact]
    public void PasswordFile_WhenClusterIsCreated_IsForItsOwnerOnly()
    {
        File.GetUnixFileMode(started.Folder.PasswordFile).ShouldBe(UnixFileMode.UserRead | UnixFileMode.UserWrite);
    }

    [Fact]
    public void DataFolder_WhenClusterIsCreated_HoldsNoInitialPassword()
    {
        Directory.EnumerateFileSystemEntries(started.Folder.DataFolder, "initial-password", SearchOption.AllDirectories).ShouldBeEmpty();
    }

    [Fact]
    public async Task Server_WhenOnASocket_ListensOnNoTcpPort()
    {
        var pid = await started.Folder.ReadServerPidAsync(Cancellation);

        new NpgsqlConnectionStringBuilder(Cluster.OwnerConnectionString).Host.ShouldStartWith(started.Folder.DataFolder);
        (await ListeningPorts.OfAsync(pid, Cancellation)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Database_WhenAnotherIsAskedFor_IsCreatedOnce()
    {
        await Cluster.EnsureDatabaseAsync("scratch", Cancellation);
        await Cluster.EnsureDatabaseAsync("scratch", Cancellation);

        var name = await Sql.AskAsync(Cluster.AppConnectionStringFor("scratch"), "SELECT current_database()::text", Cancellation);

        name.ShouldBe("scratch");
    }
}
