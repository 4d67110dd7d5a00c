using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Integration.Tests.Jobs;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Logging;

namespace Caseload.Integration.Tests.Record;

[Trait("Requirement", "SEC-39")]
public sealed class AccessChainTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Record_AsTheDatabaseSealedIt_IsIntact()
    {
        var programmeId = await FillAsync(5);

        var result = await VerifyAsync(programmeId);

        result.ShouldBe(new AccessChainResult(6, 1, 6, await HashOfAsync(programmeId, 6), null));
    }

    [Fact]
    public async Task TextOf_AnEntryWithEverything_IsTheDatabasesText()
    {
        var programmeId = await NewProgrammeAsync();
        await using (
            var context = store.Db.ForAccount(programmeId, StoreFixture.NewId(), "Zoë O'Brien | 12:x", "2001:db8::1", StoreFixture.NewId())
        )
        {
            var detail = new AccessDetail()
                .WithKey("z", "key")
                .With("a", 3)
                .WithAll("children", [StoreFixture.NewId(), StoreFixture.NewId()]);
            context.Record("signed-in", StoreFixture.NewId(), StoreFixture.NoonAt.AddTicks(12_345_670), detail, StoreFixture.NewId());
            await context.SaveChangesAsync(Ct);
        }
        await using var reader = store.Db.ForJob("test", programmeId);
        var entry = await reader.AccessEntries.AsNoTracking().SingleAsync(row => row.What == "signed-in", Ct);

        var text = await store.AskOwnerAsync($"select access_entry_text(entry) from access_entries as entry where id = '{entry.Id}'");

        AccessChain.TextOf(entry).ShouldBe(text);
    }

    [Theory]
    [InlineData("update access_entries set who = 'Somebody Else' where $P and number = 3", AccessChainFault.ContentAltered, 3)]
    [InlineData("update access_entries set detail = '{\"a\": 1}' where $P and number = 1", AccessChainFault.ContentAltered, 1)]
    [InlineData("update access_entries set at = at + interval '1 microsecond' where $P and number = 6", AccessChainFault.ContentAltered, 6)]
    [InlineData("update access_entries set why = null where $P and number = 2", AccessChainFault.ContentAltered, 2)]
    [InlineData("update access_entries set hash = null where $P and number = 2", AccessChainFault.ContentAltered, 2)]
    [InlineData("delete from access_entries where $P and number = 4", AccessChainFault.EntryMissing, 4)]
    [InlineData("delete from access_entries where $P and number = 1", AccessChainFault.EntryMissing, 1)]
    [InlineData("delete from access_entries where $P and number >= 5", AccessChainFault.NewestMissing, 5)]
    [InlineData("delete from access_entries where $P", AccessChainFault.NewestMissing, 1)]
    [InlineData("update access_entries set previous_hash = '' where $P and number = 4", AccessChainFault.LinkBroken, 4)]
    [InlineData("update access_entries set number = 7 where $P and number = 6", AccessChainFault.EntryMissing, 6)]
    [InlineData("delete from access_chain_heads where $P", AccessChainFault.HeadMissing, null)]
    // Altered and sealed anew with the database's own functions: the entry after it tells.
    [InlineData(
        """
            update access_entries set who = 'Somebody Else' where $P and number = 3;
            update access_entries as entry set hash = sha256(convert_to(access_entry_text(entry), 'UTF8')) where $P and number = 3
            """,
        AccessChainFault.LinkBroken,
        4
    )]
    [InlineData(
        """
            update access_entries set who = 'Somebody Else' where $P and number = 6;
            update access_entries as entry set hash = sha256(convert_to(access_entry_text(entry), 'UTF8')) where $P and number = 6
            """,
        AccessChainFault.LinkBroken,
        6
    )]
    // Two entries exchange their places.
    [InlineData(
        """
            update access_entries set number = -1 where $P and number = 3;
            update access_entries set number = 3 where $P and number = 4;
            update access_entries set number = 4 where $P and number = -1
            """,
        AccessChainFault.LinkBroken,
        3
    )]
    [InlineData(
        """
            insert into access_entries (programme_id, id, at, who, what, why, detail)
            select programme_id, gen_random_uuid(), at, who, what, why, detail from access_entries where $P and number = 2
            """,
        AccessChainFault.Unsealed,
        null
    )]
    [InlineData(
        """
            insert into access_entries (programme_id, id, at, who, what, why, detail, number, previous_hash, hash)
            select programme_id, gen_random_uuid(), at, who, what, why, detail, 7, hash, hash from access_entries where $P and number = 6
            """,
        AccessChainFault.AfterTheHead,
        7
    )]
    [InlineData("update access_chain_heads set last_number = 5 where $P", AccessChainFault.AfterTheHead, 6)]
    public async Task Tampering_ByTheOwnerWithoutTriggers_IsFoundAtTheFirstBrokenEntry(string sql, AccessChainFault fault, int? number)
    {
        var programmeId = await FillAsync(5);

        await TamperAsync(programmeId, sql);

        var broken = (await VerifyAsync(programmeId)).Broken.ShouldNotBeNull();
        (broken.Fault, broken.Number).ShouldBe((fault, number));
        if (fault == AccessChainFault.Unsealed)
        {
            broken.EntryId.ShouldNotBeNull();
        }
    }

    [Fact]
    public async Task EntriesOfOneTransaction_AndOfManyAtOnce_AreNumberedWithoutGaps()
    {
        var programmeId = await NewProgrammeAsync();
        await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => AddEntriesAsync(programmeId, 3)));

        var result = await VerifyAsync(programmeId);

        (result.IsIntact, result.EntryCount).ShouldBe((true, 25));
    }

    [Fact]
    public async Task Person_WhoMayVerify_ChecksThroughTheOwnRights()
    {
        var auditor = await store.AddPersonAsync(store.ProgrammeA, [Role.Administrator]);
        await using var context = await store.Db.EnterAsync(auditor, Permission.VerifyAccessRecord, Ct);

        var result = await AccessChain.VerifyAsync(context, null, Ct);

        result.IsIntact.ShouldBeTrue();
        result.EntryCount.ShouldBeGreaterThan(0);
    }

    [Fact]
    public async Task Verify_OverSeveralProgrammes_WritesALineForEachAndAnswersWithTheWorst()
    {
        var intact = await FillAsync(1, "Intact programme");
        using (var before = new StringWriter())
        {
            await VerifyCommand.VerifyAsync(store.Db, before, Ct);
            before
                .ToString()
                .ShouldContain($"Intact programme: intact. 2 entries checked; the newest has the hash {await HashOfAsync(intact, 2)}");
        }
        await TamperAsync(
            await FillAsync(3, "Altered programme"),
            "update access_entries set who = 'Somebody Else' where $P and number = 2"
        );

        using var output = new StringWriter();
        var code = await VerifyCommand.VerifyAsync(store.Db, output, Ct);

        code.ShouldBe(1);
        output.ToString().ShouldContain("Altered programme: BROKEN. Entry 2 was altered after it was sealed. Intact before it: 1 entry.");
        output.ToString().ShouldContain("Intact programme: intact.");
    }

    [Fact]
    public async Task Keeping_OnceADay_RecordsTheOutcomeAndLogsABrokenRecordAsAnError()
    {
        var intact = await FillAsync(2);
        var broken = await FillAsync(2);
        await TamperAsync(broken, "update access_entries set who = 'Somebody Else' where $P and number = 2");
        var log = new ListLogger<RecordCheckJob>();
        var job = new RecordCheckJob(store.Db, store.Time, log);
        var keeper = Keepers.Of(store.Db, store.Time, [job]);

        await keeper.AskAsync(job.Name, Ct);
        await keeper.AskAsync(job.Name, Ct);

        (await WordsOfAsync(intact)).ShouldBe(["programme-created", "tested", "tested", "record-verified"]);
        (await WordsOfAsync(broken)).ShouldBe(["programme-created", "tested", "tested", "record-broken"]);
        var error = log.Entries.Single(entry =>
            entry.Level == LogLevel.Error && entry.Message.Contains(broken.ToString(), StringComparison.Ordinal)
        );
        error.Message.ShouldBe(
            $"The access record of programme {broken} is broken after 1 entries: Entry 2 was altered after it was sealed."
        );
        error.Message.ShouldNotContain("Somebody");
    }

    [Fact]
    [Trait("Requirement", "SEC-46")]
    public async Task Keeping_RemovesWhatWasKeptForLongEnough_AndTheRestStillVerifies()
    {
        var programmeId = await NewProgrammeAsync();
        await using (var old = store.Db.ForJob("test", programmeId))
        {
            old.Record("tested", null, StoreFixture.NoonAt.AddYears(-7));
            await old.SaveChangesAsync(Ct);
        }
        await AddEntriesAsync(programmeId, 2, StoreFixture.NoonAt.AddYears(-7));
        // The programme's own first entry is seven years old as well.
        await AddEntriesAsync(programmeId, 2);

        var job = new RecordCheckJob(store.Db, store.Time, new ListLogger<RecordCheckJob>());
        await Keepers.Of(store.Db, store.Time, [job]).AskAsync(job.Name, Ct);

        (await WordsOfAsync(programmeId)).ShouldBe(["tested", "tested", "record-trimmed", "record-verified"], ignoreOrder: true);
        var result = await VerifyAsync(programmeId);
        (result.IsIntact, result.FirstNumber, result.EntryCount).ShouldBe((true, 5, 4));
        await TamperAsync(programmeId, "delete from access_entries where $P and number = 5");
        (await VerifyAsync(programmeId)).Broken.ShouldBe(new BrokenEntry(AccessChainFault.EntryMissing, 5, null));
    }

    private async Task<Guid> NewProgrammeAsync(string name = "Programme", DateTimeOffset? at = null)
    {
        var id = StoreFixture.NewId();
        await store.Db.CreateProgrammeAsync(id, name, "America/Chicago", at ?? StoreFixture.NoonAt.AddYears(-7), Ct);
        return id;
    }

    private async Task<Guid> FillAsync(int count, string name = "Programme")
    {
        var id = await NewProgrammeAsync(name, StoreFixture.NoonAt);
        for (var index = 0; index < count; index++)
        {
            await AddEntriesAsync(id, 1);
        }
        return id;
    }

    private async Task AddEntriesAsync(Guid programmeId, int count, DateTimeOffset? at = null)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        for (var index = 0; index < count; index++)
        {
            context.Record("tested", null, at ?? StoreFixture.NoonAt, new AccessDetail().With("index", index));
        }
        await context.SaveChangesAsync(Ct);
    }

    private async Task<AccessChainResult> VerifyAsync(Guid programmeId)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        return await AccessChain.VerifyAsync(context, null, Ct);
    }

    private async Task<List<string>> WordsOfAsync(Guid programmeId)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        return await context.AccessEntries.OrderBy(entry => entry.Number).Select(entry => entry.What).ToListAsync(Ct);
    }

    private async Task<string> HashOfAsync(Guid programmeId, int number) =>
        (string)
            (
                await store.AskOwnerAsync(
                    $"select encode(hash, 'hex') from access_entries where programme_id = '{programmeId}' and number = {number}"
                )
            )!;

    /// <summary>As somebody with the owner's rights could: the triggers off, rows of one programme changed, the triggers on again.</summary>
    private async Task TamperAsync(Guid programmeId, string sql) =>
        await store.AskOwnerAsync(
            $"""
            begin;
            alter table access_entries disable trigger user;
            {sql.Replace("$P", $"programme_id = '{programmeId}'", StringComparison.Ordinal)};
            set constraints all immediate;
            alter table access_entries enable trigger user;
            alter table access_entries enable always trigger access_entries_sealed;
            alter table access_entries enable always trigger access_entries_written_once;
            commit
            """
        );
}
