using System.Globalization;
using System.Runtime.Versioning;

namespace Caseload.Data.PrivateCluster;

/// <summary>A PostgreSQL server of our own, kept in the data folder and reachable from this machine only.</summary>
/// <remarks>It outlives a killed application on purpose; the next start attaches to it.</remarks>
#pragma warning disable MA0049 // The folder is named for what is in it, and so is the class.
public sealed class PrivateCluster : IAsyncDisposable
#pragma warning restore MA0049
{
    /// <summary>Owns the schema and is the server's superuser; row level security does not bind it.</summary>
    public const string OwnerRole = "caseload_owner";

    /// <summary>What the application signs in as.</summary>
    public const string AppRole = "caseload_app";

    private static readonly TimeSpan LockTimeout = TimeSpan.FromSeconds(90);

    private readonly PrivateClusterOptions _options;
    private readonly Action<string>? _log;
    private readonly ClusterServer _server;
    private FileStream? _use;

    private PrivateCluster(PrivateClusterOptions options, Action<string>? log, ClusterServer server, FileStream? use, bool attached)
    {
        _options = options;
        _log = log;
        _server = server;
        _use = use;
        Attached = attached;
    }

    /// <summary>Whether the server was running already.</summary>
    public bool Attached { get; }

    public string DataFolder => _server.Folders.Data;

    public string OwnerConnectionString => OwnerConnectionStringFor(_options.DatabaseName);

    public string AppConnectionString => AppConnectionStringFor(_options.DatabaseName);

    public string OwnerConnectionStringFor(string databaseName) =>
        _server.ConnectionStringFor(OwnerRole, _server.Passwords.Owner, databaseName);

    public string AppConnectionStringFor(string databaseName) => _server.ConnectionStringFor(AppRole, _server.Passwords.App, databaseName);

    public static async Task<PrivateCluster> StartAsync(
        PrivateClusterOptions options,
        Action<string>? log = null,
        CancellationToken cancellationToken = default
    )
    {
        if (OperatingSystem.IsWindows())
        {
            throw PrivateClusterException.With("On Windows Caseload does not run a database of its own.");
        }

        var folders = ClusterFolders.In(options.DataFolder);
        var account = await ServerAccount.FindAsync(cancellationToken);
        await account.PrepareDataFolderAsync(folders.Data, cancellationToken);

        await using var startLock = await FileLock.TakeAsync(folders.StartLock, LockTimeout, cancellationToken);

        var passwords = await CreateIfMissingAsync(options, folders, account, log, cancellationToken);
        var binaries = await PostgresBinaries.FindAsync(options.BinariesFolder, ReadMajor(folders), cancellationToken);
        var server = new ClusterServer(options, folders, account, binaries, passwords, log);
        var attached = await server.EnsureRunningAsync(cancellationToken);
        await ClusterSetup.EnsureRolesAsync(server, cancellationToken);
        await ClusterSetup.EnsureDatabaseAsync(server, options.DatabaseName, cancellationToken);

        return new PrivateCluster(options, log, server, FileLock.TryShare(folders.UsersLock), attached);
    }

    /// <summary>Starts the server again if it stopped, for example after the disk was full.</summary>
    /// <returns>Whether it was running all the time.</returns>
    public async Task<bool> EnsureRunningAsync(CancellationToken cancellationToken = default)
    {
        if (OperatingSystem.IsWindows())
        {
            throw new PlatformNotSupportedException();
        }

        await using var startLock = await FileLock.TakeAsync(_server.Folders.StartLock, LockTimeout, cancellationToken);
        return await _server.EnsureRunningAsync(cancellationToken);
    }

    /// <summary>Creates a further database, owned by <see cref="OwnerRole"/>, unless it exists.</summary>
    public Task EnsureDatabaseAsync(string databaseName, CancellationToken cancellationToken = default) =>
        ClusterSetup.EnsureDatabaseAsync(_server, databaseName, cancellationToken);

    /// <summary>Stops the server, open transactions rolled back, unless another process still uses it.</summary>
    public async Task StopAsync(CancellationToken cancellationToken = default)
    {
        if (_use is null || OperatingSystem.IsWindows())
        {
            return;
        }

        await using var startLock = await FileLock.TakeAsync(_server.Folders.StartLock, LockTimeout, cancellationToken);
        await _use.DisposeAsync();
        _use = null;

        await using var onlyUse = FileLock.TryTake(_server.Folders.UsersLock);
        if (onlyUse is null)
        {
            _log?.Invoke("The database stays up because another Caseload process uses it.");
            return;
        }

        await _server.StopAsync(cancellationToken);
    }

    public async ValueTask DisposeAsync() => await StopAsync();

    /// <summary>Stops a server whose processes all died, for a data folder that is about to be deleted.</summary>
    /// <returns>Whether the folder is free, that is, whether no living process uses it.</returns>
    public static async Task<bool> StopAbandonedAsync(string dataFolder, CancellationToken cancellationToken = default)
    {
        var folders = ClusterFolders.In(dataFolder);
        if (OperatingSystem.IsWindows() || !Directory.Exists(folders.Data))
        {
            return true;
        }

        await using var startLock = FileLock.TryTake(folders.StartLock);
        if (startLock is null)
        {
            return false;
        }

        await using var onlyUse = FileLock.TryTake(folders.UsersLock);
        if (onlyUse is null)
        {
            return false;
        }

        if (File.Exists(Path.Combine(folders.Cluster, "postmaster.pid")))
        {
            var account = await ServerAccount.FindAsync(cancellationToken);
            var binaries = await PostgresBinaries.FindAsync(chosenFolder: null, ReadMajor(folders), cancellationToken);
            await ClusterServer.StopAsync(account, binaries, folders, cancellationToken);
        }

        return true;
    }

    [UnsupportedOSPlatform("windows")]
    private static async Task<ClusterPasswords> CreateIfMissingAsync(
        PrivateClusterOptions options,
        ClusterFolders folders,
        ServerAccount account,
        Action<string>? log,
        CancellationToken cancellationToken
    )
    {
        var passwords = await ClusterPasswords.FindAsync(folders.PasswordFile, cancellationToken);
        await account.CreateOwnFolderAsync(folders.Run, cancellationToken);

        if (ReadMajor(folders) is null)
        {
            var binaries = await PostgresBinaries.FindAsync(options.BinariesFolder, wantedMajor: null, cancellationToken);
            log?.Invoke($"Creating a private database with PostgreSQL {binaries.Major} in {folders.Cluster}");
            passwords ??= await ClusterPasswords.CreateAsync(folders.PasswordFile, cancellationToken);
            await ClusterSetup.CreateAsync(options, folders, account, binaries, passwords, cancellationToken);
        }

        return passwords
            ?? throw PrivateClusterException.With(
                $"The database in {folders.Cluster} exists, but its password file {folders.PasswordFile} is gone. Bring it back from a backup."
            );
    }

    private static int? ReadMajor(ClusterFolders folders)
    {
        var file = Path.Combine(folders.Cluster, "PG_VERSION");

        if (File.Exists(file))
        {
            return int.TryParse(File.ReadAllText(file).Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var major)
                ? major
                : throw PrivateClusterException.With($"The file {file} does not name a PostgreSQL version. The cluster is damaged.");
        }

        if (Directory.Exists(folders.Cluster) && Directory.EnumerateFileSystemEntries(folders.Cluster).Any())
        {
            throw PrivateClusterException.With(
                $"The folder {folders.Cluster} has files in it but is not a PostgreSQL cluster. Move it away, or choose another data folder with --data."
            );
        }

        return null;
    }
}
