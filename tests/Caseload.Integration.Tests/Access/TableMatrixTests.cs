using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Setup;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Integration.Tests.Access;

/// <summary>
/// Every table, asked past the application: plain SQL on the connection that a use case holds, so that only the database's own row policies
/// stand between a person and the rows. What is expected is written by hand.
/// </summary>
public sealed class TableMatrixTests(MigratedPostgres postgres)
{
    /// <summary>Tables that hang on a child, and how to find the child.</summary>
    private static readonly Dictionary<string, string> _childTables = new()
    {
        ["children"] = "id",
        ["visits"] = "child_id",
        ["findings"] = "child_id",
        ["item_statuses"] = "child_id",
        ["alert_steps"] = "child_id",
        ["alerts"] = "child_id",
        ["assignments"] = "child_id",
        ["never_pairs"] = "child_id",
        ["planned_visits"] = "child_id",
        ["family_letters"] = "child_id",
        ["child_signs"] = "child_id",
        ["child_statuses"] = "child_id",
        ["child_exclusions"] = "child_id",
        ["child_concerns"] = "child_id",
        ["visit_drafts"] = "(select v.child_id from visits as v where v.id = visit_id)",
    };

    /// <summary>Tables of a programme that hang on no child; those of another programme are never seen.</summary>
    private static readonly string[] _programmeTables =
    [
        "access_chain_heads",
        "access_entries",
        "calendar_feeds",
        "child_code_counters",
        "child_tombstones",
        "clinicians",
        "covers",
        "digests",
        "invitations",
        "job_runs",
        "outgoing_messages",
        "people",
        "person_logins",
        "person_passkeys",
        "programmes",
        "reasoned_reaches",
        "recovery_codes",
        "reference_set_versions",
        "sign_ins",
        "summary_exports",
    ];

    /// <summary>Tables of the installation, before and above every programme.</summary>
    private static readonly string[] _installationTables = ["protection_keys", "setup_links"];

    /// <summary>Which children's rows are read and which are changed: 0 own, 1 a colleague's, 2 another programme's.</summary>
    private static readonly Dictionary<Who, (string Reads, string Changes)> _expected = new()
    {
        [Who.Administrator] = ("", ""),
        [Who.TeamLead] = ("01", "01"),
        [Who.Observer] = ("01", ""),
        [Who.OwnClinician] = ("0", "0"),
        [Who.CoveringClinician] = ("1", "1"),
        [Who.ReasoningClinician] = ("1", "1"),
        [Who.OtherLead] = ("2", "2"),
    };

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public void Tables_All_StandInTheMatrix()
    {
        using var context = new DesignTimeContextFactory().CreateDbContext([]);

        context
            .Model.GetEntityTypes()
            .Select(type => type.GetTableName()!)
            .Order(StringComparer.Ordinal)
            .ShouldBe(_childTables.Keys.Concat(_programmeTables).Concat(_installationTables).Order(StringComparer.Ordinal));
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Rows_OfChildren_AreReadAndChangedByWhoReachesThem()
    {
        await using var world = await FilledAsync();
        var ids = world.Children.Select(child => child.Child.Id).ToArray();
        var unexpected = new List<string>();
        var tried = 0;
        foreach (var (who, expected) in _expected)
        {
            await using var context = await world.Store.Db.EnterAsync(world.Of(who), Permission.KeepOwnAccount, Ct);
            var connection = (NpgsqlConnection)context.Database.GetDbConnection();
            foreach (var (table, child) in _childTables)
            {
                tried++;
                var reads = Letters(await AskAsync(connection, $"select distinct {child} from {table}"), ids);
                // Findings and the steps of alerts are written once: nobody changes one, whatever the reach.
                var changes = table is "findings" or "alert_steps" or "family_letters"
                    ? expected.Changes
                    : Letters(await ChangeAsync(connection, $"update {table} set programme_id = programme_id returning {child}"), ids);
                if (reads != expected.Reads || changes != expected.Changes)
                {
                    unexpected.Add($"{who} on {table}: reads '{reads}', changes '{changes}'");
                }
                var deletes = await ChangeAsync(connection, $"delete from {table} where {child} = '{ids[2]}' returning {child}");
                if (deletes.Count > 0 && who != Who.OtherLead)
                {
                    unexpected.Add($"{who} deletes another programme's rows of {table}");
                }
            }
        }

        unexpected.ShouldBeEmpty();
        tried.ShouldBe(_expected.Count * _childTables.Count);
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Rows_OfAnotherProgramme_AreSeenAndChangedByNobody()
    {
        await using var world = await FilledAsync();
        foreach (var who in _expected.Keys)
        {
            var actor = world.Of(who);
            await using var context = await world.Store.Db.EnterAsync(actor, Permission.KeepOwnAccount, Ct);
            var connection = (NpgsqlConnection)context.Database.GetDbConnection();
            foreach (var table in _programmeTables.Concat(_childTables.Keys))
            {
                var programmes = await AskAsync(connection, $"select distinct programme_id from {table}");
                programmes.ShouldAllBe(id => id == actor.ProgrammeId, $"{who} on {table}");
                var other = actor.ProgrammeId == world.Store.ProgrammeA ? world.Store.ProgrammeB : world.Store.ProgrammeA;
                (await ChangeAsync(connection, $"delete from {table} where programme_id = '{other}' returning programme_id")).ShouldBeEmpty(
                    $"{who} on {table}"
                );
            }
        }
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Digests_AreSeenByWhomTheyWereMadeForAndWhoReadsTheProgramme()
    {
        await using var world = await AccessWorld.MakeAsync(postgres);
        var seen = new List<Who>();
        foreach (var who in _expected.Keys)
        {
            await using var context = await world.Store.Db.EnterAsync(world.Of(who), Permission.KeepOwnAccount, Ct);
            var connection = (NpgsqlConnection)context.Database.GetDbConnection();
            if ((await AskAsync(connection, "select id from digests")).Contains(world.DigestId))
            {
                seen.Add(who);
            }
            (await ChangeAsync(connection, "update digests set subject = 'other' returning id")).ShouldBeEmpty();
            (await ChangeAsync(connection, "delete from digests returning id")).ShouldBeEmpty();
            (
                await ChangeAsync(
                    connection,
                    $"""
                    insert into digests (programme_id, id, person_id, scope, week, as_of_on, made_at, content, subject, text, html)
                    values ('{world.Of(who).ProgrammeId}', gen_random_uuid(), '{world.Of(who).PersonId}', 'clinician', '2026-W01',
                        '2026-01-01', now(), '{"{}"}', '', '', '') returning id
                    """
                )
            ).ShouldBeEmpty("only a job makes digests");
        }

        seen.ShouldBe([Who.TeamLead, Who.Observer, Who.OwnClinician]);
    }

    [Fact]
    [Trait("Requirement", "SEC-51")]
    public async Task Rows_WithoutAScope_AreSeenByNobody()
    {
        await using var world = await FilledAsync();
        await using var connection = new NpgsqlConnection(world.Store.Database.AppConnectionString);
        await connection.OpenAsync(Ct);

        foreach (var table in _programmeTables.Concat(_childTables.Keys))
        {
            (await AskAsync(connection, $"select distinct programme_id from {table}")).ShouldBeEmpty(table);
            (await ChangeAsync(connection, $"update {table} set programme_id = programme_id returning programme_id")).ShouldBeEmpty(table);
        }
    }

    [Fact]
    [Trait("Requirement", "SEC-51")]
    public async Task ApplicationRole_Always_IsNeitherOwnerNorAboveThePolicies()
    {
        await using var world = await AccessWorld.MakeAsync(postgres);

        (
            await world.Store.AskOwnerAsync(
                $"""
                select count(*) from pg_roles where rolname = '{Store.StoreFixture.AppRole}'
                and not rolsuper and not rolbypassrls and not rolcreaterole and not rolcreatedb
                """
            )
        ).ShouldBe(1L);
        (
            await world.Store.AskOwnerAsync(
                $"select count(*) from pg_tables where schemaname = 'public' and tableowner = '{Store.StoreFixture.AppRole}'"
            )
        ).ShouldBe(0L);
        (
            await world.Store.AskOwnerAsync(
                """
                select string_agg(relname, ', ' order by relname) from pg_class
                where relnamespace = 'public'::regnamespace and relkind = 'r' and not relrowsecurity
                """
            )
        ).ShouldBe("__EFMigrationsHistory, protection_keys, setup_links");
    }

    [Fact]
    public async Task Connection_ThatServedATeamLead_ShowsTheNextUserNothing()
    {
        await using var world = await FilledAsync();
        for (var turn = 0; turn < 20; turn++)
        {
            await using (var lead = await world.Store.Db.EnterAsync(world.Of(Who.TeamLead), Permission.ReadChildren, Ct))
            {
                (await lead.Children.CountAsync(Ct)).ShouldBe(2);
            }
            await using var clinician = await world.Store.Db.EnterAsync(world.Of(Who.OwnClinician), Permission.ReadChildren, Ct);
            (await AskAsync((NpgsqlConnection)clinician.Database.GetDbConnection(), "select id from children")).ShouldBe([
                world.Children[0].Child.Id,
            ]);
        }
    }

    [Fact]
    public async Task Queries_ManyAtOnceOfTwoProgrammes_NeverMix()
    {
        await using var world = await FilledAsync();
        var wrong = 0;
        await Parallel.ForAsync(
            0,
            300,
            new ParallelOptions { MaxDegreeOfParallelism = 16, CancellationToken = Ct },
            async (number, ct) =>
            {
                var who = number % 2 == 0 ? Who.TeamLead : Who.OtherLead;
                await using var context = await world.Store.Db.EnterAsync(world.Of(who), Permission.ReadChildren, ct);
                var seen = await AskAsync((NpgsqlConnection)context.Database.GetDbConnection(), "select id from children");
                if (seen.Count != (who == Who.TeamLead ? 2 : 1))
                {
                    Interlocked.Increment(ref wrong);
                }
            }
        );

        wrong.ShouldBe(0);
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Person_RaisingTheOwnRoles_IsRefusedByTheDatabase()
    {
        await using var world = await AccessWorld.MakeAsync(postgres);
        var actor = world.Of(Who.OwnClinician);
        await using var context = await world.Store.Db.EnterAsync(actor, Permission.KeepOwnAccount, Ct);

        var refused = await Should.ThrowAsync<PostgresException>(() =>
            AskAsync(
                (NpgsqlConnection)context.Database.GetDbConnection(),
                $"update people set roles = roles || array['team-lead'] where id = '{actor.PersonId}' returning id"
            )
        );

        refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Child_GivenAwayByAClinician_IsRefusedByTheDatabase()
    {
        await using var world = await AccessWorld.MakeAsync(postgres);
        await using var context = await world.Store.Db.EnterAsync(world.Of(Who.OwnClinician), Permission.ReadChildren, Ct);

        var refused = await Should.ThrowAsync<PostgresException>(() =>
            AskAsync(
                (NpgsqlConnection)context.Database.GetDbConnection(),
                $"update children set clinician_id = null where id = '{world.Children[0].Child.Id}' returning id"
            )
        );

        refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
    }

    private async Task<AccessWorld> FilledAsync()
    {
        var world = await AccessWorld.MakeAsync(postgres);
        await world.Store.AskOwnerAsync(
            """
            insert into child_exclusions (programme_id, id, child_id, exclusion, from_on)
                select programme_id, gen_random_uuid(), id, 'reflux', born_on from children;
            insert into child_concerns (programme_id, id, child_id, concern, recorded_on)
                select programme_id, gen_random_uuid(), id, 'feeding', born_on from children;
            insert into alert_steps (programme_id, id, child_id, alert_id, what, at, who)
                select programme_id, gen_random_uuid(), child_id, id, 'acknowledged', raised_at, 'test' from alerts;
            insert into child_statuses (programme_id, child_id, computed_for_on)
                select programme_id, id, born_on from children on conflict do nothing;
            insert into clinicians (programme_id, id, name, initials, discipline, languages, working_days, zones, is_active)
                select programme_id, gen_random_uuid(), 'Any Body', 'AB', 'other', '{}', '{}', '{}', true from programmes;
            insert into assignments (programme_id, id, child_id, clinician_id, from_on, recorded_at, who)
                select child.programme_id, gen_random_uuid(), child.id, clinician.id, child.born_on, now(), 'test'
                from children as child join clinicians as clinician
                on clinician.programme_id = child.programme_id and clinician.name = 'Any Body';
            insert into never_pairs (programme_id, child_id, clinician_id, reason, who, recorded_at)
                select programme_id, child_id, clinician_id, 'test', 'test', recorded_at from assignments;
            insert into planned_visits (programme_id, id, child_id, clinician_id, planned_on, is_fixed, created_at, changed_at, revision)
                select programme_id, gen_random_uuid(), child_id, clinician_id, from_on, false, recorded_at, recorded_at, 0 from assignments;
            insert into family_letters (programme_id, id, child_id, language, as_of_on, parts, contact, saved_at, who)
                select programme_id, gen_random_uuid(), id, 'en', born_on, '[]', 'test', created_at, 'test' from children;
            insert into visit_drafts (programme_id, visit_id, form, updated_at)
                select programme_id, id, '{}', started_at from visits where finished_at is null;
            """
        );
        return world;
    }

    private static string Letters(IEnumerable<Guid> seen, Guid[] ids) => string.Concat(seen.Select(id => Array.IndexOf(ids, id)).Order());

    private static async Task<List<Guid>> AskAsync(NpgsqlConnection connection, string sql)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        await using var reader = await command.ExecuteReaderAsync(Ct);
        var found = new List<Guid>();
        while (await reader.ReadAsync(Ct))
        {
            found.Add(reader.GetGuid(0));
        }
        return [.. found.Distinct()];
    }

    /// <summary>What a change would touch; it is taken back. No permission to try is nothing touched.</summary>
    private static async Task<List<Guid>> ChangeAsync(NpgsqlConnection connection, string sql)
    {
        await using var transaction = await connection.BeginTransactionAsync(Ct);
        try
        {
            return await AskAsync(connection, sql);
        }
        catch (PostgresException refused)
            when (refused.SqlState
                    is PostgresErrorCodes.InsufficientPrivilege
                        or PostgresErrorCodes.ForeignKeyViolation
                        or PostgresErrorCodes.RestrictViolation
            )
        {
            return [];
        }
        finally
        {
            await transaction.RollbackAsync(Ct);
        }
    }
}
