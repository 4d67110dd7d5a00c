using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;
using Caseload.Data.PrivateCluster;
using Npgsql;
using Cluster = Caseload.Data.PrivateCluster.PrivateCluster;

namespace Caseload.Integration.Tests.PrivateCluster;

/// <summary>A data folder that is gone, with its server, when disposed.</summary>
public sealed class ClusterFolder : IAsyncDisposable
{
    private readonly string _root;

    public ClusterFolder(string subfolder = "")
    {
        _root = Path.Combine(
            "/tmp",
            string.Create(
                CultureInfo.InvariantCulture,
                $"caseload-cluster-{Environment.ProcessId}-{RandomNumberGenerator.GetHexString(6, lowercase: true)}"
            )
        );
        DataFolder = Path.Combine(_root, subfolder).TrimEnd('/');
    }

    public string DataFolder { get; }

    public string PasswordFile => Path.Combine(DataFolder, "database-passwords");

    public Task<Cluster> StartAsync(CancellationToken cancellationToken) => StartAsync(durable: true, cancellationToken);

    public Task<Cluster> StartAsync(bool durable, CancellationToken cancellationToken) =>
        Cluster.StartAsync(new PrivateClusterOptions(DataFolder, durable), log: null, cancellationToken);

    public async Task<int> ReadServerPidAsync(CancellationToken cancellationToken)
    {
        var lines = await File.ReadAllLinesAsync(Path.Combine(DataFolder, "postgres", "postmaster.pid"), cancellationToken);
        return int.Parse(lines[0], CultureInfo.InvariantCulture);
    }

    public async Task KillServerAsync(CancellationToken cancellationToken)
    {
        using var server = Process.GetProcessById(await ReadServerPidAsync(cancellationToken));
        server.Kill();
        await server.WaitForExitAsync(cancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        if (Directory.Exists(_root))
        {
            (await Cluster.StopAbandonedAsync(DataFolder)).ShouldBeTrue();
            File.SetUnixFileMode(_root, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
            Directory.Delete(_root, recursive: true);
        }
    }
}

internal static class Sql
{
    public static async Task<object?> AskAsync(string connectionString, string statement, CancellationToken cancellationToken)
    {
        // A pool would keep connections to servers that these tests kill.
        var unpooled = new NpgsqlConnectionStringBuilder(connectionString) { Pooling = false };
        await using var connection = new NpgsqlConnection(unpooled.ConnectionString);
        await connection.OpenAsync(cancellationToken);
        await using var command = new NpgsqlCommand(statement, connection);
        return await command.ExecuteScalarAsync(cancellationToken);
    }
}
