using Npgsql;

namespace Caseload.Testing;

public sealed class TestDatabase : IAsyncDisposable
{
    private readonly TestServer _server;

    internal TestDatabase(string name, string ownerConnectionString, string appConnectionString, TestServer server)
    {
        Name = name;
        OwnerConnectionString = ownerConnectionString;
        AppConnectionString = appConnectionString;
        _server = server;
    }

    public string Name { get; }

    /// <summary>For preparing and checking: row level security does not bind it on a private cluster.</summary>
    public string OwnerConnectionString { get; }

    /// <summary>What the application signs in with.</summary>
    public string AppConnectionString { get; }

    public async ValueTask DisposeAsync()
    {
        await using (var owner = new NpgsqlConnection(OwnerConnectionString))
        await using (var app = new NpgsqlConnection(AppConnectionString))
        {
            NpgsqlConnection.ClearPool(owner);
            NpgsqlConnection.ClearPool(app);
        }

        await _server.DropDatabaseAsync(Name, isTemplate: false);
    }
}
