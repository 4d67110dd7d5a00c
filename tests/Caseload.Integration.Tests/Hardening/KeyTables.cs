using Caseload.Integration.Tests.Store;
using Caseload.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>The table of the data-protection keys, for a model that has none yet.</summary>
internal static class KeyTables
{
    public static async Task EnsureAsync(TestDatabase database)
    {
        await using var connection = new NpgsqlConnection(database.OwnerConnectionString);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(
            $"""
            create table if not exists protection_keys (
              id uuid primary key, friendly_name text not null, xml text not null, created_at timestamptz not null default now());
            grant select, insert on protection_keys to {StoreFixture.AppRole}
            """,
            connection
        );
        await command.ExecuteNonQueryAsync();
    }
}
