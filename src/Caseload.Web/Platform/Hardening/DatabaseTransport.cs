using Npgsql;

namespace Caseload.Web.Platform.Hardening;

/// <summary>Rows travel to another machine encrypted only, and only to the server the certificate names.</summary>
public static class DatabaseTransport
{
    /// <summary>The setting that names hosts which may be reached without TLS, comma-separated.</summary>
    public const string Setting = "CASELOAD_DB_ALLOW_PLAINTEXT";

    /// <summary>Refuses a connection string that would send rows in the clear, or to whoever answers.</summary>
    /// <remarks>A socket and loopback leave nothing on a wire. An internal network of containers does not either, but only its owner knows.</remarks>
    public static void Require(string connectionString, IConfiguration settings)
    {
        var database = new NpgsqlConnectionStringBuilder(connectionString);
        if (database.SslMode == SslMode.VerifyFull)
        {
            return;
        }
        var named = Split(settings[Setting]);
        foreach (
            var host in Split(database.Host).Where(host => !StaysHere(host) && !named.Contains(host, StringComparer.OrdinalIgnoreCase))
        )
        {
            throw new HostStartException(
                $"The database is on another machine ({host}), and the connection string does not ask for a verified TLS connection. Add "
                    + "\"SSL Mode=VerifyFull\", and \"Root Certificate=FILE\" when its certificate comes from an authority of your own. If nobody "
                    + $"else can listen on the network between them, name the host in {Setting}."
            );
        }
    }

    private static bool StaysHere(string host) => host[0] is '/' or '@' || PublicAddress.IsLoopbackHost(host);

    /// <summary>The entries of a list, without the ports.</summary>
    private static string[] Split(string? list) =>
        [.. (list ?? "").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(WithoutPort)];

    private static string WithoutPort(string entry) =>
        entry[0] == '[' ? entry[1..entry.IndexOf(']', StringComparison.Ordinal)]
        : entry.Split(':') is [var host, _] ? host
        : entry;
}
