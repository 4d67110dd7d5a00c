using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Caseload.Data.PrivateCluster;
using DotNet.Testcontainers.Builders;
using Npgsql;
using Testcontainers.PostgreSql;

namespace Caseload.Testing;

/// <summary>The PostgreSQL server of this test process, however it was come by.</summary>
internal sealed class TestServer
{
    public const string GivenServerSetting = "CASELOAD_TEST_POSTGRES";
    public const string ForceContainersSetting = "CASELOAD_TEST_FORCE_CONTAINERS";
    public const string AppPasswordSetting = "CASELOAD_TEST_APP_PASSWORD";

    private const string ContainerImage = "postgres:15.18-bookworm";
    private const string FolderPrefix = "caseload-test-";
    private const int MaxConnections = 200;

    private static readonly SemaphoreSlim Gate = new(1, 1);
    private static TestServer? _current;
    private static int _users;

    private readonly string _ownerConnectionString;
    private readonly string _appPassword;
    private readonly Func<ValueTask> _stop;

    private TestServer(string origin, string ownerConnectionString, string appPassword, Func<ValueTask> stop)
    {
        Origin = origin;
        _ownerConnectionString = ownerConnectionString;
        _appPassword = appPassword;
        _stop = stop;
    }

    public string Origin { get; }

    public static async Task<TestServer> RentAsync()
    {
        await Gate.WaitAsync();
        try
        {
            _current ??= await StartAsync();
            _users++;
            return _current;
        }
        finally
        {
            Gate.Release();
        }
    }

    public static async Task ReturnAsync()
    {
        await Gate.WaitAsync();
        try
        {
            _users--;
            if (_users == 0 && _current is not null)
            {
                NpgsqlConnection.ClearAllPools();
                await _current._stop();
                _current = null;
            }
        }
        finally
        {
            Gate.Release();
        }
    }

    /// <param name="databaseName">The database both lead to.</param>
    /// <param name="poolSize">No pool at all when not given.</param>
    public (string Owner, string App) ConnectionStrings(string databaseName, int? poolSize)
    {
        var owner = new NpgsqlConnectionStringBuilder(_ownerConnectionString)
        {
            Database = databaseName,
            Pooling = poolSize is not null,
            GssEncryptionMode = GssEncryptionMode.Disable,
        };

        if (poolSize is not null)
        {
            owner.MaxPoolSize = poolSize.Value;
        }

        var app = new NpgsqlConnectionStringBuilder(owner.ConnectionString) { Username = PrivateCluster.AppRole, Password = _appPassword };

        return (owner.ConnectionString, app.ConnectionString);
    }

    public async Task CreateDatabaseAsync(string name, string? template)
    {
        // Copying files beats replaying a log for a database of a few megabytes.
        var source = template is null ? "" : $" TEMPLATE \"{template}\"{await ChooseStrategyAsync()}";
        await ExecuteAsync($"CREATE DATABASE \"{name}\"{source}");
        await ExecuteAsync($"GRANT CONNECT, TEMPORARY ON DATABASE \"{name}\" TO {PrivateCluster.AppRole}");
    }

    public async Task CloseForCopyingAsync(string name)
    {
        await ExecuteAsync($"ALTER DATABASE \"{name}\" WITH IS_TEMPLATE true ALLOW_CONNECTIONS false");
        await ExecuteAsync($"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'");
    }

    public async Task DropDatabaseAsync(string name, bool isTemplate)
    {
        if (isTemplate)
        {
            await ExecuteAsync($"ALTER DATABASE \"{name}\" WITH IS_TEMPLATE false");
        }

        await ExecuteAsync($"DROP DATABASE IF EXISTS \"{name}\" WITH (FORCE)");
    }

    private static async Task<TestServer> StartAsync()
    {
        if (Environment.GetEnvironmentVariable(GivenServerSetting) is { Length: > 0 } given)
        {
            return await UseAsync(GivenServerSetting, given, stop: () => ValueTask.CompletedTask);
        }

        var troubles = new List<string>();
        Func<List<string>, Task<TestServer?>>[] ways =
            Environment.GetEnvironmentVariable(ForceContainersSetting) == "1"
                ? [TryContainerAsync]
                : [TryPrivateClusterAsync, TryContainerAsync];

        foreach (var way in ways)
        {
            if (await way(troubles) is { } server)
            {
                return server;
            }
        }

        throw new InvalidOperationException(
            $"""
            These tests need a PostgreSQL server, and none could be had. Any one of these is enough:
              1. install PostgreSQL 14 to 18 (Debian, Ubuntu: apt install postgresql), or set CASELOAD_PG_BIN to its folder with initdb;
              2. set {GivenServerSetting} to the connection string of a superuser of a server made for tests;
              3. start a Docker engine.
            What was tried:
            {string.Join(Environment.NewLine, troubles)}
            """
        );
    }

    private static async Task<TestServer?> TryPrivateClusterAsync(List<string> troubles)
    {
        await SweepAsync();

        // Short, so that the socket's path stays within the kernel's limit.
        var name = string.Create(
            CultureInfo.InvariantCulture,
            $"{FolderPrefix}{Environment.ProcessId}-{RandomNumberGenerator.GetHexString(6, lowercase: true)}"
        );
        var folder = Path.Combine(Path.GetTempPath(), name);

        try
        {
            var cluster = await PrivateCluster.StartAsync(
                new PrivateClusterOptions(folder, Durable: false, MaxConnections, DatabaseName: "postgres")
            );
            var password = new NpgsqlConnectionStringBuilder(cluster.AppConnectionString).Password!;

            return new TestServer(
                "private cluster",
                cluster.OwnerConnectionString,
                password,
                async () =>
                {
                    await cluster.StopAsync();
                    Directory.Delete(folder, recursive: true);
                }
            );
        }
        catch (PrivateClusterException problem)
        {
            troubles.Add(problem.Message);
            return null;
        }
    }

    private static async Task<TestServer?> TryContainerAsync(List<string> troubles)
    {
        try
        {
            var container = new PostgreSqlBuilder(ContainerImage).WithUsername(PrivateCluster.OwnerRole).Build();
            await container.StartAsync();
            return await UseAsync($"container {ContainerImage}", container.GetConnectionString(), container.DisposeAsync);
        }
        catch (DockerUnavailableException problem)
        {
            troubles.Add(problem.Message);
            return null;
        }
    }

    private static async Task<TestServer> UseAsync(string origin, string ownerConnectionString, Func<ValueTask> stop)
    {
        var owner = new NpgsqlConnectionStringBuilder(ownerConnectionString);

        // Derived rather than random, so that test processes that share a server agree on it.
        var password =
            Environment.GetEnvironmentVariable(AppPasswordSetting)
            ?? Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes($"{PrivateCluster.AppRole}:{owner.Password}")));

        var server = new TestServer(origin, ownerConnectionString, password, stop);
        await server.EnsureAppRoleAsync(owner.Database ?? "postgres");
        return server;
    }

    private async Task EnsureAppRoleAsync(string databaseName)
    {
        var password = _appPassword.Replace("'", "''", StringComparison.Ordinal);
        await ExecuteAsync(
            $"""
            DO $$
            BEGIN
              PERFORM pg_advisory_xact_lock(hashtext('{PrivateCluster.AppRole}'));
              IF NOT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = '{PrivateCluster.AppRole}') THEN
                CREATE ROLE {PrivateCluster.AppRole} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS
                  PASSWORD '{password}';
              END IF;
            END $$
            """
        );

        try
        {
            await using var probe = new NpgsqlConnection(ConnectionStrings(databaseName, poolSize: null).App);
            await probe.OpenAsync();
        }
        catch (PostgresException problem) when (problem.SqlState == PostgresErrorCodes.InvalidPassword)
        {
            throw new InvalidOperationException(
                $"The server of {GivenServerSetting} has a role {PrivateCluster.AppRole} with an unknown password. "
                    + $"Set {AppPasswordSetting} to it, or drop the role.",
                problem
            );
        }
    }

    private async Task<string> ChooseStrategyAsync()
    {
        await using var connection = new NpgsqlConnection(AdministrationConnectionString());
        await connection.OpenAsync();
        return connection.PostgreSqlVersion.Major >= 15 ? " STRATEGY FILE_COPY" : "";
    }

    private async Task ExecuteAsync(string statement)
    {
        await using var connection = new NpgsqlConnection(AdministrationConnectionString());
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(statement, connection);
        await command.ExecuteNonQueryAsync();
    }

    private string AdministrationConnectionString()
    {
        var database = new NpgsqlConnectionStringBuilder(_ownerConnectionString).Database ?? "postgres";
        return ConnectionStrings(database, poolSize: 2).Owner;
    }

    /// <summary>Removes what killed test processes left behind.</summary>
    private static async Task SweepAsync()
    {
        foreach (var folder in Directory.EnumerateDirectories(Path.GetTempPath(), $"{FolderPrefix}*"))
        {
            var pidText = Path.GetFileName(folder)[FolderPrefix.Length..].Split('-')[0];
            var isOrphan = int.TryParse(pidText, NumberStyles.None, CultureInfo.InvariantCulture, out var pid) && !IsAlive(pid);

            try
            {
                if (isOrphan && await PrivateCluster.StopAbandonedAsync(folder))
                {
                    Directory.Delete(folder, recursive: true);
                }
            }
            catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or PrivateClusterException)
            {
                // Another user's leftovers, or another process sweeps at the same time; neither stops this run.
            }
        }
    }

    private static bool IsAlive(int pid)
    {
        try
        {
            using var process = System.Diagnostics.Process.GetProcessById(pid);
            return !process.HasExited;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
