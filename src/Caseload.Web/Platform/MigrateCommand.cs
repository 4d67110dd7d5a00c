using Caseload.Data.Setup;
using Npgsql;

namespace Caseload.Web.Platform;

/// <summary>Brings the database to the present model, as its owner.</summary>
public static class MigrateCommand
{
    /// <summary>Runs the command by itself, for deployments that migrate before they start.</summary>
    public static async Task<int> RunAsync(HostStart start)
    {
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        await using var access = await DatabaseAccess.OpenAsync(start, configuration, Console.Error.WriteLine, CancellationToken.None);
        if (access.Owner is null)
        {
            throw new HostStartException("migrate needs the owner's connection string in ConnectionStrings__CaseloadOwner.");
        }
        await ApplyAsync(access, CancellationToken.None);
        Console.WriteLine("The database is up to date.");
        return 0;
    }

    /// <summary>Migrates and grants; may be repeated.</summary>
    public static async Task ApplyAsync(DatabaseAccess access, CancellationToken ct)
    {
        await EnsureAppRoleAsync(access, ct);
        await DatabaseSetup.MigrateAsync(access.Owner!, ct);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(access.Owner!, access.AppRole, ct);
    }

    /// <summary>A database that others run has no role of ours yet; the owner makes it with the password the application will use.</summary>
    private static async Task EnsureAppRoleAsync(DatabaseAccess access, CancellationToken ct)
    {
        await using var connection = new NpgsqlConnection(access.Owner);
        await connection.OpenAsync(ct);
        await using var find = new NpgsqlCommand("select exists (select from pg_roles where rolname = $1)", connection)
        {
            Parameters = { new() { Value = access.AppRole } },
        };
        if ((bool)(await find.ExecuteScalarAsync(ct))!)
        {
            return;
        }
        var password = new NpgsqlConnectionStringBuilder(access.App).Password ?? "";
        var quoted = new NpgsqlCommandBuilder().QuoteIdentifier(access.AppRole);
        await using var literal = new NpgsqlCommand("select quote_literal($1)", connection) { Parameters = { new() { Value = password } } };
        var quotedPassword = (string)(await literal.ExecuteScalarAsync(ct))!;
#pragma warning disable CA2100 // Identifier and literal are quoted by the driver and the server; CREATE ROLE takes no parameters.
        await using var create = new NpgsqlCommand($"create role {quoted} login password {quotedPassword}", connection);
#pragma warning restore CA2100
        await create.ExecuteNonQueryAsync(ct);
    }
}
