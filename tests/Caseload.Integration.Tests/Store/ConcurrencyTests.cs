using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Store;

[Trait("Requirement", "SEC-28")]
public sealed class ConcurrencyTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Child_EditedByTwo_TheSecondLearnsOfIt()
    {
        var id = await SaveChildAsync();
        await using var first = store.ContextA();
        await using var second = store.ContextA();
        (await first.Children.SingleAsync(row => row.Id == id, Ct)).Note = "first";
        (await second.Children.SingleAsync(row => row.Id == id, Ct)).Note = "second";

        await first.SaveChangesAsync(Ct);

        await Should.ThrowAsync<DbUpdateConcurrencyException>(() => second.SaveChangesAsync(Ct));
    }

    [Fact]
    public async Task Entering_AfterTheServerCutEveryConnection_WorksAtTheFirstTry()
    {
        // Several wait in the pool.
        await Task.WhenAll(Enumerable.Range(0, 4).Select(async _ => await (await EnterAsync()).DisposeAsync()));
        await store.AskOwnerAsync(
            $"select count(pg_terminate_backend(pid)) from pg_stat_activity where usename = '{StoreFixture.AppRole}' and datname = current_database()"
        );

        await using var context = await EnterAsync();

        (await context.Programmes.CountAsync(Ct)).ShouldBe(1);

        Task<Data.CaseloadDbContext> EnterAsync() => store.Db.EnterAsync(store.LeadA, Data.Access.Permission.ReadChildren, Ct);
    }

    [Fact]
    public async Task Child_EditedFromAnOldForm_LearnsOfIt()
    {
        var id = await SaveChildAsync();
        uint asRead;
        await using (var reader = store.ContextA())
        {
            asRead = await reader.Children.Where(row => row.Id == id).Select(row => row.RowVersion).SingleAsync(Ct);
        }
        await SaveNoteAsync(id, "first", asRead);

        await Should.ThrowAsync<DbUpdateConcurrencyException>(() => SaveNoteAsync(id, "second", asRead));
    }

    [Fact]
    public async Task Conflict_WithLockedStatuses_RollsBackEverything()
    {
        var id = await SaveChildAsync();
        await using var late = store.ContextA();
        var child = await late.Children.SingleAsync(row => row.Id == id, Ct);
        await SaveNoteAsync(id, "first", child.RowVersion);
        child.GestationDays = 200;
        await store.Statuses.RewriteAsync(late, id, StoreFixture.TodayOn, Ct);

        await Should.ThrowAsync<DbUpdateConcurrencyException>(() => late.SaveChangesAsync(Ct));

        // The lock is gone as well: the next one need not wait for the disposal of the one that failed.
        await using var next = store.ContextA();
        await store.Statuses.RewriteAsync(next, id, StoreFixture.TodayOn, Ct);
        await next.SaveChangesAsync(Ct);
        (await next.Children.AsNoTracking().SingleAsync(row => row.Id == id, Ct)).GestationDays.ShouldBe(280);
    }

    private async Task<Guid> SaveChildAsync()
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context);
        await context.SaveChangesAsync(Ct);
        return child.Id;
    }

    private async Task SaveNoteAsync(Guid id, string note, uint asRead)
    {
        await using var context = store.ContextA();
        var child = await context.Children.SingleAsync(row => row.Id == id, Ct);
        context.ExpectVersion(child, asRead);
        child.Note = note;
        await context.SaveChangesAsync(Ct);
    }
}
