using System.Data.Common;
using Microsoft.EntityFrameworkCore.Diagnostics;
using Npgsql;

namespace Caseload.Data;

/// <summary>Tells the database for whom a connection was opened, so that its row policies can decide; without it they show nothing.</summary>
/// <remarks>The driver forgets the settings when the connection goes back to its pool, so no one inherits another's.</remarks>
internal sealed class ScopeInterceptor : DbConnectionInterceptor
{
    public override Task ConnectionOpenedAsync(
        DbConnection connection,
        ConnectionEndEventData eventData,
        CancellationToken cancellationToken = default
    ) => eventData.Context is CaseloadDbContext context ? TellAsync(connection, context.Scope, cancellationToken) : Task.CompletedTask;

    public override void ConnectionOpened(DbConnection connection, ConnectionEndEventData eventData) =>
        throw new NotSupportedException("The database is spoken to asynchronously throughout.");

    internal static async Task TellAsync(DbConnection connection, StoreScope scope, CancellationToken ct)
    {
        if (scope.Purpose == StorePurpose.Nothing)
        {
            return;
        }
        var settings = scope.Settings.ToList();
        await using var command = new NpgsqlCommand(
            "select set_config(name, value, false) from unnest($1, $2) as setting (name, value)",
            (NpgsqlConnection)connection
        )
        {
            Parameters =
            {
                new() { Value = settings.Select(setting => setting.Name).ToArray() },
                new() { Value = settings.Select(setting => setting.Value).ToArray() },
            },
        };
        await command.ExecuteNonQueryAsync(ct);
    }
}
