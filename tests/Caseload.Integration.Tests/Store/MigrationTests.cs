using Caseload.Data;
using Caseload.Data.Setup;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Store;

public sealed class MigrationTests(MigratedPostgres postgres, StoreFixture store) : IClassFixture<StoreFixture>
{
    [Fact]
    public async Task Migration_FromEmpty_GivesTheModelAndMayBeRepeated()
    {
        await using var database = await postgres.CreateEmptyDatabaseAsync();

        for (var attempt = 0; attempt < 2; attempt++)
        {
            await DatabaseSetup.MigrateAsync(database.OwnerConnectionString, TestContext.Current.CancellationToken);
            await DatabaseSetup.EnsureAppRoleGrantsAsync(
                database.OwnerConnectionString,
                StoreFixture.AppRole,
                TestContext.Current.CancellationToken
            );
        }

        await using var context = new CaseloadDbContext(CaseloadOptions.For(database.OwnerConnectionString));
        (await context.Database.GetPendingMigrationsAsync(TestContext.Current.CancellationToken)).ShouldBeEmpty();
        context.Database.HasPendingModelChanges().ShouldBeFalse();
    }

    [Fact]
    public async Task Migration_TakenBack_LeavesNothing()
    {
        await using var database = await postgres.CreateEmptyDatabaseAsync();
        await DatabaseSetup.MigrateAsync(database.OwnerConnectionString, TestContext.Current.CancellationToken);

        await using var context = new CaseloadDbContext(CaseloadOptions.For(database.OwnerConnectionString));
        await context.Database.MigrateAsync("0", TestContext.Current.CancellationToken);

        var left = await context
            .Database.SqlQuery<string>(
                $"""
                select relname::text as "value" from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r'
                union all select proname::text from pg_proc where pronamespace = 'public'::regnamespace
                """
            )
            .ToListAsync(TestContext.Current.CancellationToken);
        left.ShouldBe(["__EFMigrationsHistory"]);
    }

    [Fact]
    public async Task Table_Every_CarriesTheProgramme()
    {
        var without = await store.AskOwnerAsync(
            """
            select string_agg(table_name, ', ' order by table_name) from information_schema.tables as tables
            where table_schema = 'public' and table_type = 'BASE TABLE' and table_name <> '__EFMigrationsHistory'
            and not exists (
                select from information_schema.columns as columns
                where columns.table_schema = tables.table_schema and columns.table_name = tables.table_name
                and column_name = 'programme_id' and is_nullable = 'NO' and data_type = 'uuid')
            """
        );
        var count = await store.AskOwnerAsync(
            "select count(*) from information_schema.columns where table_schema = 'public' and column_name = 'programme_id'"
        );

        // Keys and the setup link belong to the installation, before and above every programme.
        without.ShouldBe("protection_keys, setup_links");
        count.ShouldBe(35L);
    }

    [Fact]
    public async Task ForeignKey_BetweenOwnedTables_IncludesTheProgramme()
    {
        var without = await store.AskOwnerAsync(
            """
            select string_agg(conname, ', ') from pg_constraint
            where contype = 'f' and connamespace = 'public'::regnamespace and not exists (
                select from pg_attribute where attrelid = conrelid and attname = 'programme_id' and attnum = any(conkey))
            """
        );

        without.ShouldBe(DBNull.Value);
    }
}
