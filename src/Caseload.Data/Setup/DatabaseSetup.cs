using System.Globalization;
using System.Text;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Data.Setup;

/// <summary>Brings a database to the present model; done by its owner, never by the application's role.</summary>
public static class DatabaseSetup
{
    private const string HistoryTable = "__EFMigrationsHistory";

    /// <summary>Applies the migrations that are missing, and gives the scheduler its tables.</summary>
    public static async Task MigrateAsync(string ownerConnectionString, CancellationToken ct = default)
    {
        await using var context = new CaseloadDbContext(CaseloadOptions.For(ownerConnectionString));
        await context.Database.MigrateAsync(ct);
        await SchedulerTables.EnsureAsync(ownerConnectionString, ct);
    }

    /// <summary>Gives the application's role what it needs and takes everything else; may be repeated. The role must exist.</summary>
    /// <remarks>Rows that are written once can be read and added, not changed or deleted; nothing can be truncated.</remarks>
    public static async Task EnsureAppRoleGrantsAsync(string ownerConnectionString, string appRoleName, CancellationToken ct = default)
    {
        await using var context = new CaseloadDbContext(CaseloadOptions.For(ownerConnectionString));
        var role = Quote(appRoleName);
        var sql = new StringBuilder("begin;\n")
            .Append("grant usage on schema public to ")
            .Append(role)
            .Append(";\n")
            .Append("revoke all on all tables in schema public from ")
            .Append(role)
            .Append(";\n")
            .Append("revoke all on all functions in schema public from public;\n")
            .Append("grant execute on all functions in schema public to ")
            .Append(role)
            .Append(";\n")
            .Append("grant select on ")
            .Append(Quote(HistoryTable))
            .Append(" to ")
            .Append(role)
            .Append(";\n");
        foreach (var type in context.Model.GetEntityTypes())
        {
            sql.Append("grant select")
                .Append(type.ClrType.IsAssignableTo(typeof(IKeptByDatabase)) ? "" : ", insert")
                .Append(
                    type.ClrType.IsAssignableTo(typeof(IAppendOnly)) || type.ClrType.IsAssignableTo(typeof(IKeptByDatabase))
                        ? ""
                        : ", update, delete"
                )
                .Append(" on ")
                .Append(Quote(type.GetTableName()!))
                .Append(" to ")
                .Append(role)
                .Append(";\n");
        }
        // What the scheduler keeps is about the installation only: when which job is asked.
        sql.Append(
            CultureInfo.InvariantCulture,
            $"""
            grant usage on schema {SchedulerTables.Schema} to {role};
            revoke all on all tables in schema {SchedulerTables.Schema} from {role};
            grant select, insert, update, delete on all tables in schema {SchedulerTables.Schema} to {role};
            commit;
            """
        );

        await using var connection = new NpgsqlConnection(CaseloadOptions.Complete(ownerConnectionString));
        await connection.OpenAsync(ct);
        await using var command = new NpgsqlCommand(sql.ToString(), connection);
        await command.ExecuteNonQueryAsync(ct);
    }

    private static string Quote(string name) => new NpgsqlCommandBuilder().QuoteIdentifier(name);
}
