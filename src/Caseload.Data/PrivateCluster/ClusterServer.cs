using System.Globalization;
using System.Net.Sockets;
using System.Runtime.Versioning;
using Npgsql;

namespace Caseload.Data.PrivateCluster;

/// <summary>The running side of a cluster: start, attach, stop, sign in.</summary>
internal sealed class ClusterServer
{
    private static readonly TimeSpan RetryAfter = TimeSpan.FromMilliseconds(100);
    private const long LargestLogBytes = 10 * 1024 * 1024;
    private const int LogTailLines = 8;

    private readonly PrivateClusterOptions _options;
    private readonly ServerAccount _account;
    private readonly PostgresBinaries _binaries;
    private readonly Action<string>? _log;
    private ServerAddress _address;

    public ClusterServer(
        PrivateClusterOptions options,
        ClusterFolders folders,
        ServerAccount account,
        PostgresBinaries binaries,
        ClusterPasswords passwords,
        Action<string>? log
    )
    {
        _options = options;
        _account = account;
        _binaries = binaries;
        _log = log;
        Folders = folders;
        Passwords = passwords;
        _address = ServerAddress.ForDataFolder(folders);
    }

    private enum Answer
    {
        Ours,
        Starting,
        Nobody,
        SomebodyElse,
    }

    public ClusterFolders Folders { get; }

    public ClusterPasswords Passwords { get; }

    public string ConnectionStringFor(string role, string password, string databaseName)
    {
        var builder = new NpgsqlConnectionStringBuilder
        {
            Host = _address.Host,
            Port = _address.Port,
            Username = role,
            Password = password,
            Database = databaseName,
            SslMode = SslMode.Disable,
            GssEncryptionMode = GssEncryptionMode.Disable,
            // A stranger who took the address must not get to see the password.
            RequireAuth = "ScramSHA256",
        };

        return builder.ConnectionString;
    }

    /// <summary>A connection of its own, so that a stopped server leaves nothing dead in a pool.</summary>
    public async Task<NpgsqlConnection> OpenAsync(string databaseName, CancellationToken cancellationToken)
    {
        var builder = new NpgsqlConnectionStringBuilder(ConnectionStringFor(PrivateCluster.OwnerRole, Passwords.Owner, databaseName))
        {
            Pooling = false,
            Timeout = 10,
        };

        var connection = new NpgsqlConnection(builder.ConnectionString);
        try
        {
            await connection.OpenAsync(cancellationToken);
            return connection;
        }
        catch
        {
            await connection.DisposeAsync();
            throw;
        }
    }

    /// <returns>Whether the server was running already.</returns>
    [UnsupportedOSPlatform("windows")]
    public async Task<bool> EnsureRunningAsync(CancellationToken cancellationToken)
    {
        var beganAt = TimeProvider.System.GetTimestamp();
        var startedByUs = false;
        string? trouble = null;

        while (TimeProvider.System.GetElapsedTime(beganAt) < _options.StartTimeout)
        {
            switch (await AskAsync(cancellationToken))
            {
                case Answer.Ours:
                    _log?.Invoke(startedByUs ? "The private database has started." : "The private database was running already.");
                    return !startedByUs;

                case Answer.Starting:
                    await Task.Delay(RetryAfter, TimeProvider.System, cancellationToken);
                    continue;

                case Answer.SomebodyElse:
                    _address = _address.WithNewPort(Folders);
                    break;
            }

            trouble = await TryStartAsync(cancellationToken);
            startedByUs |= trouble is null;

            if (trouble is not null && !MayPass(trouble))
            {
                break;
            }

            if (trouble is not null)
            {
                await Task.Delay(RetryAfter, TimeProvider.System, cancellationToken);
            }
        }

        throw PrivateClusterException.With(
            $"The private database in {Folders.Cluster} did not start within {_options.StartTimeout.TotalSeconds:0} seconds. "
                + $"The server's own words (more in {Folders.Log}):{Environment.NewLine}{trouble ?? ReadLogTail()}"
        );
    }

    [UnsupportedOSPlatform("windows")]
    public Task StopAsync(CancellationToken cancellationToken) => StopAsync(_account, _binaries, Folders, cancellationToken);

    [UnsupportedOSPlatform("windows")]
    public static async Task StopAsync(
        ServerAccount account,
        PostgresBinaries binaries,
        ClusterFolders folders,
        CancellationToken cancellationToken
    )
    {
        string[] arguments = ["stop", "--pgdata", folders.Cluster, "--mode", "fast", "--wait", "--timeout", "60", "--silent"];
        var stopped = await account.RunAsync(binaries.PgCtl, arguments, folders.Data, input: null, cancellationToken);

        var wasDown =
            stopped.Output.Contains("Is server running?", StringComparison.Ordinal)
            || stopped.Output.Contains("No such process", StringComparison.Ordinal);
        if (!stopped.Succeeded && !wasDown)
        {
            throw new PrivateClusterException(
                $"The private database in {folders.Cluster} did not stop: {stopped.Output}{Environment.NewLine}"
                    + $"It can be stopped by hand: {binaries.PgCtl} stop -D {folders.Cluster} -m immediate"
            );
        }
    }

    private async Task<Answer> AskAsync(CancellationToken cancellationToken)
    {
        try
        {
            await using var connection = await OpenAsync("postgres", cancellationToken);
            return Answer.Ours;
        }
        catch (PostgresException problem) when (problem.SqlState == PostgresErrorCodes.CannotConnectNow)
        {
            return Answer.Starting;
        }
        catch (PostgresException problem) when (_address.IsSocket && problem.SqlState == PostgresErrorCodes.InvalidPassword)
        {
            throw PrivateClusterException.With(
                $"The private database refuses the password in {Folders.PasswordFile}. Bring that file back from a backup.",
                problem
            );
        }
        catch (NpgsqlException problem) when (problem.InnerException is SocketException)
        {
            return Answer.Nobody;
        }
        catch (NpgsqlException problem) when (_address.IsSocket)
        {
            // Only the server's user can listen on the socket: this is the server going up or down.
            _log?.Invoke($"Waiting for the private database: {problem.Message}");
            return Answer.Starting;
        }
        catch (NpgsqlException)
        {
            return Answer.SomebodyElse;
        }
    }

    /// <returns>What went wrong, or nothing.</returns>
    [UnsupportedOSPlatform("windows")]
    private async Task<string?> TryStartAsync(CancellationToken cancellationToken)
    {
        KeepLogSmall();
        var logLengthBefore = LogLength();
        var seconds = Math.Max(1, (int)_options.StartTimeout.TotalSeconds).ToString(CultureInfo.InvariantCulture);

        string[] arguments =
        [
            "start",
            "--pgdata",
            Folders.Cluster,
            "--log",
            Folders.Log,
            "--wait",
            "--timeout",
            seconds,
            "--silent",
            "--options",
            ServerOptions(),
        ];
        var started = await _account.RunAsync(_binaries.PgCtl, arguments, Folders.Data, input: null, cancellationToken);

        return started.Succeeded ? null : $"{started.Output}{Environment.NewLine}{ReadLogTail(logLengthBefore)}".Trim();
    }

    /// <summary>A sixteenth of the machine's memory, within bounds that suit a laptop and a server.</summary>
    private static long SharedMegabytes => Math.Clamp(GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 16 / 1_048_576, 128, 2048);

    private string ServerOptions()
    {
        var durability = _options.Durable ? "on" : "off";

        var settings = new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["listen_addresses"] = _address.IsSocket ? "" : _address.Host,
            ["port"] = _address.Port.ToString(CultureInfo.InvariantCulture),
            ["unix_socket_directories"] = _address.IsSocket ? _address.Host : "",
            ["unix_socket_permissions"] = "0700",
            ["max_connections"] = _options.MaxConnections.ToString(CultureInfo.InvariantCulture),
            ["timezone"] = "UTC",
            ["log_timezone"] = "UTC",
            ["fsync"] = durability,
            ["full_page_writes"] = durability,
            ["synchronous_commit"] = durability,
            // Statements and details quote what people typed, which must not end up in a log.
            ["log_min_error_statement"] = "panic",
            ["log_error_verbosity"] = "terse",
            ["log_checkpoints"] = "off",
            // Statements here are many and short; to compile one takes longer than it runs.
            ["jit"] = "off",
        };
        if (_options.Durable)
        {
            // The server's own defaults are for the smallest of machines; a caseload's indexes then do not stay in memory.
            settings["shared_buffers"] = $"{SharedMegabytes}MB";
            settings["max_wal_size"] = "2GB";
            // Who writes much at once must not wait until the log's buffers are on the disk.
            settings["wal_buffers"] = "64MB";
        }

        return string.Join(' ', settings.Select(setting => $"-c {setting.Key}='{setting.Value}'"));
    }

    /// <summary>Whether waiting can help: a killed server's children, a start by somebody else, a port taken meanwhile.</summary>
    private bool MayPass(string trouble)
    {
        if (trouble.Contains("could not bind", StringComparison.Ordinal) && !_address.IsSocket)
        {
            _address = _address.WithNewPort(Folders);
            return true;
        }

        return trouble.Contains("shared memory block", StringComparison.Ordinal)
            || (trouble.Contains("lock file", StringComparison.Ordinal) && trouble.Contains("already exists", StringComparison.Ordinal));
    }

    private void KeepLogSmall()
    {
        if (LogLength() > LargestLogBytes)
        {
            File.Move(Folders.Log, $"{Folders.Log}.1", overwrite: true);
        }
    }

    private long LogLength() => File.Exists(Folders.Log) ? new FileInfo(Folders.Log).Length : 0;

    private string ReadLogTail(long from = 0)
    {
        if (!File.Exists(Folders.Log))
        {
            return "";
        }

        using var stream = new FileStream(Folders.Log, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        stream.Seek(Math.Min(from, stream.Length), SeekOrigin.Begin);
        using var reader = new StreamReader(stream);
        var lines = reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        return string.Join(Environment.NewLine, lines.TakeLast(LogTailLines));
    }
}
