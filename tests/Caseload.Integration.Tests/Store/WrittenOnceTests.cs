using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Integration.Tests.Store;

public sealed class WrittenOnceTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("findings", "update findings set note = 'changed'")]
    [InlineData("findings", "delete from findings")]
    [InlineData("findings", "truncate findings cascade")]
    [InlineData("reference_set_versions", "update reference_set_versions set content = ''")]
    [InlineData("reference_set_versions", "delete from reference_set_versions")]
    [InlineData("reference_set_versions", "truncate reference_set_versions cascade")]
    [InlineData("access_entries", "update access_entries set what = 'changed'")]
    [InlineData("access_entries", "delete from access_entries")]
    [InlineData("children", "truncate children cascade")]
    [InlineData("family_letters", "update family_letters set contact = ''")]
    [InlineData("family_letters", "delete from family_letters")]
    [InlineData("summary_exports", "update summary_exports set scope = ''")]
    [InlineData("summary_exports", "delete from summary_exports")]
    [InlineData("child_tombstones", "insert into child_tombstones default values")]
    [InlineData("access_chain_heads", "update access_chain_heads set last_number = 0")]
    [Trait("Requirement", "SEC-39")]
    public async Task AppRole_ChangingWhatIsWrittenOnce_HasNoPermission(string table, string sql)
    {
        await SaveFindingAsync();

        var refused = await Should.ThrowAsync<PostgresException>(() => store.AskAppAsync(sql));

        refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
        refused.MessageText.ShouldContain(table);
    }

    [Theory]
    [InlineData("update findings set note = 'changed'")]
    [InlineData("delete from findings")]
    [InlineData("truncate findings cascade")]
    [InlineData("truncate children cascade")]
    [InlineData("update reference_set_versions set content = ''")]
    [InlineData("delete from reference_set_versions")]
    [InlineData("update access_entries set what = 'changed'")]
    [InlineData("delete from access_entries")]
    [InlineData("truncate access_entries")]
    [InlineData("truncate family_letters")]
    [InlineData("truncate summary_exports")]
    [Trait("Requirement", "SEC-39")]
    public async Task Owner_ChangingWhatIsWrittenOnce_IsRefusedByTheTrigger(string sql)
    {
        await SaveFindingAsync();

        var refused = await Should.ThrowAsync<PostgresException>(() => store.AskOwnerAsync(sql));

        refused.SqlState.ShouldBe(PostgresErrorCodes.RestrictViolation);
    }

    [Fact]
    public async Task Owner_WithTriggersSilencedForTheSession_IsStillRefused()
    {
        var finding = await SaveFindingAsync();

        var refused = await Should.ThrowAsync<PostgresException>(() =>
            store.AskOwnerAsync("set session_replication_role = replica; delete from findings")
        );

        // A server that somebody else runs may not even let its owner set it.
        refused.SqlState.ShouldBeOneOf(PostgresErrorCodes.RestrictViolation, PostgresErrorCodes.InsufficientPrivilege);
        (await store.AskOwnerAsync($"select count(*) from findings where id = '{finding.Id}'")).ShouldBe(1L);
    }

    [Fact]
    public async Task Context_ChangingAFinding_RefusesBeforeSending()
    {
        var saved = await SaveFindingAsync();
        await using var context = store.ContextA();
        var finding = await context.Findings.SingleAsync(row => row.Id == saved.Id, Ct);

        context.Entry(finding).Property(row => row.Note).CurrentValue = "changed";

        await Should.ThrowAsync<InvalidOperationException>(() => context.SaveChangesAsync(Ct));
    }

    [Fact]
    public async Task Finding_CorrectedTwice_IsRefused()
    {
        var saved = await SaveFindingAsync();
        await using (var first = store.ContextA())
        {
            await AddCorrectionAsync(first, saved);
            await first.SaveChangesAsync(Ct);
        }

        await using var second = store.ContextA();
        await AddCorrectionAsync(second, saved);
        var refused = await Should.ThrowAsync<DbUpdateException>(() => second.SaveChangesAsync(Ct));

        ((PostgresException)refused.InnerException!).ConstraintName.ShouldBe("ux_findings_corrects");
    }

    [Fact]
    public async Task Correction_OfAnotherChildsFinding_IsRefused()
    {
        var saved = await SaveFindingAsync();
        await using var context = store.ContextA();
        var other = await StoreFixture.AddChildAsync(context);

        StoreFixture.AddFinding(context, other, "moro", StoreFixture.TodayOn, Response.Absent, corrects: saved.Id);
        var refused = await Should.ThrowAsync<DbUpdateException>(() => context.SaveChangesAsync(Ct));

        ((PostgresException)refused.InnerException!).ConstraintName.ShouldBe("fk_findings_corrects");
    }

    [Theory]
    [InlineData("'typical', 'crying', null, null, false", "ck_findings_says_something")]
    [InlineData("null, null, null, null, false", "ck_findings_says_something")]
    [InlineData("null, null, null, null, true", "ck_findings_withdrawal")]
    [InlineData("'perhaps', null, null, null, false", "ck_findings_response")]
    public async Task Finding_ThatTheDomainWouldRefuse_IsRefusedByTheTableToo(string values, string constraint)
    {
        var saved = await SaveFindingAsync();

        var refused = await Should.ThrowAsync<PostgresException>(() =>
            store.AskAppAsync(
                $"""
                insert into findings (programme_id, id, child_id, visit_id, item, observed_on, side, state_scale, recorded_at, set_key,
                    response, not_tested, corrects_id, correction_reason, is_withdrawal)
                values ('{saved.ProgrammeId}', '{StoreFixture.NewId()}', '{saved.ChildId}', '{saved.VisitId}', 'moro', '2026-11-25', 'both',
                    'six states in words', now(), 'published@1', {values})
                """
            )
        );

        refused.ConstraintName.ShouldBe(constraint);
    }

    [Fact]
    public async Task ReferenceSetVersion_PublishedTwice_IsRefused()
    {
        await using var context = store.ContextA();
        context.Add(ReferenceSetVersion.From(store.ProgrammeA, Domain.Reference.ReferenceSets.Default, "test"));

        var refused = await Should.ThrowAsync<DbUpdateException>(() => context.SaveChangesAsync(Ct));

        ((PostgresException)refused.InnerException!).ConstraintName.ShouldBe("pk_reference_set_versions");
    }

    private async Task<RecordedFinding> SaveFindingAsync()
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context);
        var finding = StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Typical);
        await context.SaveChangesAsync(Ct);
        return finding;
    }

    private static async Task AddCorrectionAsync(Data.CaseloadDbContext context, RecordedFinding wrong)
    {
        var child = await context.Children.SingleAsync(row => row.Id == wrong.ChildId, Ct);
        StoreFixture.AddFinding(context, child, wrong.Item, wrong.ObservedOn, Response.Absent, corrects: wrong.Id);
    }
}
