using Caseload.Data.PrivateCluster;
using Caseload.Web.Platform.Hardening;
using Npgsql;

namespace Caseload.Web.Platform;

/// <summary>How the host reaches its database: an explicit connection string, else the private cluster of the data folder.</summary>
public sealed class DatabaseAccess : IAsyncDisposable
{
    private readonly PrivateCluster? _cluster;

    private DatabaseAccess(string app, string? owner, string appRole, PrivateCluster? cluster)
    {
        App = app;
        Owner = owner;
        AppRole = appRole;
        _cluster = cluster;
    }

    /// <summary>Connection string of the application's role.</summary>
    public string App { get; }

    /// <summary>Connection string of the owner; null when the host was not given one and so cannot migrate.</summary>
    public string? Owner { get; }

    /// <summary>The application's role.</summary>
    public string AppRole { get; }

    /// <summary>Refuses to go on when nothing names a database: a mistyped folder must not become an empty one.</summary>
    /// <exception cref="HostStartException">There is none.</exception>
    public static void RequireDatabase(HostStart start, IConfiguration configuration)
    {
        if (
            string.IsNullOrEmpty(configuration.GetConnectionString("Caseload"))
            && !Directory.Exists(Path.Combine(start.DataFolder, "postgres"))
        )
        {
            throw new HostStartException($"There is no database in {start.DataFolder}. Name the folder with --data.");
        }
    }

    /// <summary>Opens access.</summary>
    public static async Task<DatabaseAccess> OpenAsync(
        HostStart start,
        IConfiguration configuration,
        Action<string> log,
        CancellationToken ct
    )
    {
        if (configuration.GetConnectionString("Caseload") is { Length: > 0 } given)
        {
            var app = WithPassword(given, configuration["CASELOAD_DB_PASSWORD_FILE"]);
            var owner = configuration.GetConnectionString("CaseloadOwner") is { Length: > 0 } givenOwner
                ? WithPassword(givenOwner, configuration["CASELOAD_DB_OWNER_PASSWORD_FILE"])
                : null;
            DatabaseTransport.Require(app, configuration);
            DatabaseTransport.Require(owner ?? app, configuration);
            return new DatabaseAccess(app, owner, new NpgsqlConnectionStringBuilder(app).Username ?? PrivateCluster.AppRole, null);
        }
        try
        {
            var cluster = await PrivateCluster.StartAsync(new PrivateClusterOptions(start.DataFolder), log, ct);
            return new DatabaseAccess(cluster.AppConnectionString, cluster.OwnerConnectionString, PrivateCluster.AppRole, cluster);
        }
        catch (PrivateClusterException exception)
        {
            throw new HostStartException(exception.Message);
        }
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        if (_cluster is not null)
        {
            await _cluster.DisposeAsync();
        }
    }

    private static string WithPassword(string connectionString, string? passwordFile)
    {
        if (string.IsNullOrEmpty(passwordFile))
        {
            return connectionString;
        }
        if (!File.Exists(passwordFile))
        {
            throw new HostStartException($"The password file {passwordFile} does not exist. deploy/make-secrets writes one.");
        }
        return new NpgsqlConnectionStringBuilder(connectionString) { Password = File.ReadAllText(passwordFile).Trim() }.ConnectionString;
    }
}
