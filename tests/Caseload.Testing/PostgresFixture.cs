using System.Globalization;
using System.Security.Cryptography;
using Npgsql;
using Xunit;

namespace Caseload.Testing;

/// <summary>An assembly fixture: one server per process, one migrated template, a copy of it for each caller.</summary>
/// <remarks>
/// Derive from it in the test project, so that xunit can construct it:
/// <c>public sealed class MigratedPostgres() : PostgresFixture(Migrations.ApplyAsync);</c>
/// </remarks>
public class PostgresFixture : IAsyncLifetime
{
    private const int PoolSizePerDatabase = 5;

    private readonly Func<string, Task> _buildTemplate;
    private readonly string _templateName = MakeName("template");
    private TestServer? _server;

    /// <param name="buildTemplate">Brings the empty database behind an owner's connection string to the state every test begins with.</param>
    protected PostgresFixture(Func<string, Task> buildTemplate) => _buildTemplate = buildTemplate;

    /// <summary>Where the server comes from, for messages.</summary>
    public string ServerOrigin => Server.Origin;

    private TestServer Server => _server ?? throw new InvalidOperationException("The fixture has not been initialized.");

    public async ValueTask InitializeAsync()
    {
        _server = await TestServer.RentAsync();

        await _server.CreateDatabaseAsync(_templateName, template: null);
        await _buildTemplate(_server.ConnectionStrings(_templateName, poolSize: null).Owner);

        // A copy can be made only of a database that nobody is connected to.
        NpgsqlConnection.ClearAllPools();
        await _server.CloseForCopyingAsync(_templateName);
    }

    /// <summary>A copy of the template, dropped when disposed.</summary>
    public Task<TestDatabase> CreateDatabaseAsync() => CreateAsync(_templateName);

    /// <summary>A database without any table, for tests of the migrations themselves.</summary>
    public Task<TestDatabase> CreateEmptyDatabaseAsync() => CreateAsync(template: null);

    public async ValueTask DisposeAsync()
    {
        if (_server is not null)
        {
            await _server.DropDatabaseAsync(_templateName, isTemplate: true);
            await TestServer.ReturnAsync();
            _server = null;
        }

        GC.SuppressFinalize(this);
    }

    private async Task<TestDatabase> CreateAsync(string? template)
    {
        var name = MakeName("db");
        await Server.CreateDatabaseAsync(name, template);

        var (owner, app) = Server.ConnectionStrings(name, PoolSizePerDatabase);
        return new TestDatabase(name, owner, app, Server);
    }

    private static string MakeName(string kind) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"caseload_test_{kind}_{Environment.ProcessId}_{RandomNumberGenerator.GetHexString(8, lowercase: true)}"
        );
}
