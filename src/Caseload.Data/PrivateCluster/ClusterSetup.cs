using System.Runtime.Versioning;
using Npgsql;

namespace Caseload.Data.PrivateCluster;

internal static class ClusterSetup
{
    [UnsupportedOSPlatform("windows")]
    public static async Task CreateAsync(
        PrivateClusterOptions options,
        ClusterFolders folders,
        ServerAccount account,
        PostgresBinaries binaries,
        ClusterPasswords passwords,
        CancellationToken cancellationToken
    )
    {
        // Made beside its final place and renamed, so that a cluster is either whole or absent.
        if (Directory.Exists(folders.UnfinishedCluster))
        {
            Directory.Delete(folders.UnfinishedCluster, recursive: true);
        }

        if (Directory.Exists(folders.Cluster))
        {
            Directory.Delete(folders.Cluster);
        }

        await account.CreateOwnFolderAsync(folders.UnfinishedCluster, cancellationToken);

        var passwordFile = Path.Combine(folders.Run, "initial-password");
        try
        {
            var written = await account.RunAsync(
                "sh",
                ["-c", "umask 077 && cat > \"$1\"", "sh", passwordFile],
                folders.Data,
                passwords.Owner,
                cancellationToken
            );
            Require(written, $"The file {passwordFile} cannot be written");

            string[] speed = options.Durable ? [] : ["--no-sync"];
            string[] arguments =
            [
                "--pgdata",
                folders.UnfinishedCluster,
                "--username",
                PrivateCluster.OwnerRole,
                "--pwfile",
                passwordFile,
                "--auth-local=scram-sha-256",
                "--auth-host=scram-sha-256",
                "--encoding=UTF8",
                "--locale=C.UTF-8",
                "--data-checksums",
                .. speed,
            ];
            var created = await account.RunAsync(binaries.Initdb, arguments, folders.Data, input: null, cancellationToken);
            Require(created, "PostgreSQL could not create the private database");
        }
        finally
        {
            File.Delete(passwordFile);
        }

        Directory.Move(folders.UnfinishedCluster, folders.Cluster);
    }

    public static async Task EnsureRolesAsync(ClusterServer server, CancellationToken cancellationToken)
    {
        await using var connection = await server.OpenAsync("postgres", cancellationToken);
        if (await ExistsAsync(connection, "SELECT 1 FROM pg_roles WHERE rolname = $1", PrivateCluster.AppRole, cancellationToken))
        {
            return;
        }

        // The password is hexadecimal, so it needs no escaping; role statements take no parameters.
        await using var create = new NpgsqlCommand(
            $"CREATE ROLE {PrivateCluster.AppRole} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS PASSWORD '{server.Passwords.App}'",
            connection
        );
        await create.ExecuteNonQueryAsync(cancellationToken);
    }

    public static async Task EnsureDatabaseAsync(ClusterServer server, string databaseName, CancellationToken cancellationToken)
    {
        await using var connection = await server.OpenAsync("postgres", cancellationToken);
        if (await ExistsAsync(connection, "SELECT 1 FROM pg_database WHERE datname = $1", databaseName, cancellationToken))
        {
            return;
        }

        var name = QuoteIdentifier(databaseName);
        await using var create = new NpgsqlCommand($"CREATE DATABASE {name} OWNER {PrivateCluster.OwnerRole}", connection);
        await create.ExecuteNonQueryAsync(cancellationToken);

        await using var restrict = new NpgsqlCommand(
            $"REVOKE ALL ON DATABASE {name} FROM PUBLIC; GRANT CONNECT, TEMPORARY ON DATABASE {name} TO {PrivateCluster.AppRole}",
            connection
        );
        await restrict.ExecuteNonQueryAsync(cancellationToken);

        // Version 14 still lets everybody create tables in the public schema.
        await using var inside = await server.OpenAsync(databaseName, cancellationToken);
        await using var close = new NpgsqlCommand("REVOKE CREATE ON SCHEMA public FROM PUBLIC", inside);
        await close.ExecuteNonQueryAsync(cancellationToken);
    }

    private static string QuoteIdentifier(string name) => $"\"{name.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";

    private static async Task<bool> ExistsAsync(
        NpgsqlConnection connection,
        string question,
        string name,
        CancellationToken cancellationToken
    )
    {
        await using var command = new NpgsqlCommand(question, connection);
        command.Parameters.AddWithValue(name);
        return await command.ExecuteScalarAsync(cancellationToken) is not null;
    }

    private static void Require(CommandOutcome outcome, string whatFailed)
    {
        if (!outcome.Succeeded)
        {
            throw PrivateClusterException.With($"{whatFailed}:{Environment.NewLine}{outcome.Output}");
        }
    }
}
