using Caseload.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.PrivateCluster;

public sealed class PostgresFixtureTests(PostgresFixtureTests.OneTable postgres) : IClassFixture<PostgresFixtureTests.OneTable>
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Database_WhenTwoAreCreated_AreSeparateCopies()
    {
        await using var first = await postgres.CreateDatabaseAsync();
        await using var second = await postgres.CreateDatabaseAsync();

        await Sql.AskAsync(first.AppConnectionString, "INSERT INTO mark VALUES (2)", Cancellation);

        (await Sql.AskAsync(first.OwnerConnectionString, "SELECT count(*) FROM mark", Cancellation)).ShouldBe(2L);
        (await Sql.AskAsync(second.OwnerConnectionString, "SELECT count(*) FROM mark", Cancellation)).ShouldBe(1L);
    }

    [Fact]
    public async Task Database_WhenSomebodyIsStillConnected_IsDroppedAllTheSame()
    {
        var database = await postgres.CreateDatabaseAsync();
        await using var connection = new NpgsqlConnection(database.AppConnectionString);
        await connection.OpenAsync(Cancellation);

        await database.DisposeAsync();

        await using var other = await postgres.CreateEmptyDatabaseAsync();
        var left = await Sql.AskAsync(
            other.OwnerConnectionString,
            $"SELECT count(*) FROM pg_database WHERE datname = '{database.Name}'",
            Cancellation
        );
        left.ShouldBe(0L);
    }

    [Fact]
    public async Task Database_WhenManyAreCreatedAtOnce_AllExist()
    {
        var databases = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => postgres.CreateDatabaseAsync()));

        foreach (var database in databases)
        {
            (await Sql.AskAsync(database.AppConnectionString, "SELECT count(*) FROM mark", Cancellation)).ShouldBe(1L);
            await database.DisposeAsync();
        }
    }

    public sealed class OneTable() : PostgresFixture(CreateTableAsync)
    {
        private static async Task CreateTableAsync(string ownerConnectionString)
        {
            await Sql.AskAsync(
                ownerConnectionString,
                "CREATE TABLE mark (id int PRIMARY KEY); INSERT INTO mark VALUES (1); GRANT SELECT, INSERT ON mark TO caseload_app",
                CancellationToken.None
            );
        }
    }
}
