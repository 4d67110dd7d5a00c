using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Store;

public sealed partial class StatusProjectionTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Rewrite_WithUnsavedChildAndFinding_CountsThemInOneSave()
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, "2026-03-01");
        StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Typical);

        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);

        var moro = await FindAsync(child.Id, "moro");
        moro.State.ShouldBe(ItemState.Persisting);
        moro.Step.ShouldBe((short)2);
        moro.Concern.ShouldBe(Concern.Act);
    }

    [Fact]
    public async Task Rewrite_WithALaterFinding_ReplacesTheRows()
    {
        var child = await SaveChildAsync("2026-08-01");
        var before = await FindAsync(child.Id, "moro");

        await using (var context = store.ContextA())
        {
            StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Obligatory);
            await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
            await context.SaveChangesAsync(Ct);
        }

        before.State.ShouldBe(ItemState.ExpectedNotYetSeen);
        (await FindAsync(child.Id, "moro")).State.ShouldBe(ItemState.Obligatory);
        await using var reader = store.ContextA();
        (await reader.ItemStatuses.CountAsync(row => row.ChildId == child.Id, Ct)).ShouldBe(37);
    }

    [Fact]
    public async Task Rewrite_WhenNotSaved_LeavesNothingLocked()
    {
        var child = await SaveChildAsync("2026-08-01");

        await using (var abandoned = store.ContextA())
        {
            await store.Statuses.RewriteAsync(abandoned, child.Id, StoreFixture.TodayOn.AddDays(30), Ct);
        }
        await using var context = store.ContextA();
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);

        (await FindAsync(child.Id, "moro")).ComputedForOn.ShouldBe(StoreFixture.TodayOn);
    }

    [Fact]
    public async Task Rewrite_WhenTwoVisitsAreFinishedAtOnce_CountsBothVisits()
    {
        for (var round = 0; round < 8; round++)
        {
            var child = await SaveChildAsync("2026-08-01");

            // Each visit looks at one side; only together do they show the difference.
            await Task.WhenAll(FinishAsync(child, Side.Left, Response.Brisk), FinishAsync(child, Side.Right, Response.Absent));

            (await FindAsync(child.Id, "palmar_grasp")).State.ShouldBe(ItemState.OneSided);
        }

        async Task FinishAsync(Child child, Side side, Response response)
        {
            await using var context = store.ContextA();
            StoreFixture.AddFinding(context, child, "palmar_grasp", StoreFixture.TodayOn, response, side: side);
            await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
            await context.SaveChangesAsync(Ct);
        }
    }

    [Fact]
    public async Task Rewrite_OfAClosedChild_AsksForNothingMore()
    {
        var child = await SaveChildAsync("2026-08-01");

        await using var context = store.ContextA();
        var edited = await context.Children.SingleAsync(row => row.Id == child.Id, Ct);
        edited.ClosedOn = StoreFixture.TodayOn;
        edited.ClosingReason = "Moved away";
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn.AddDays(3), Ct);
        await context.SaveChangesAsync(Ct);

        var rows = await context.ItemStatuses.AsNoTracking().Where(row => row.ChildId == child.Id).ToListAsync(Ct);
        rows.ShouldAllBe(row => row.CheckPurpose == CheckPurpose.None && row.NextChangeOn == null);
        rows.ShouldAllBe(row => row.ComputedForOn == StoreFixture.TodayOn);
    }

    [Fact]
    public async Task Refresh_WhenADateHasCome_TouchesOnlyTheChildrenConcerned()
    {
        var young = await SaveChildAsync("2026-08-01");
        var grown = await SaveChildAsync("2020-01-01");
        var due = await FindAsync(young.Id, "moro");
        var laterOn = due.NextChangeOn!.Value;

        await store.Statuses.RefreshDueAsync(store.ProgrammeA, laterOn.AddDays(-1), Ct);
        var dayBefore = await FindAsync(young.Id, "moro");
        var refreshed = await store.Statuses.RefreshDueAsync(store.ProgrammeA, laterOn, Ct);
        var again = await store.Statuses.RefreshDueAsync(store.ProgrammeA, laterOn, Ct);

        dayBefore.State.ShouldBe(ItemState.ExpectedNotYetSeen);
        (await FindAsync(young.Id, "moro")).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
        refreshed.Rows.ShouldBeGreaterThan(0);
        again.ShouldBe(default);
        (await FindAsync(grown.Id, "moro")).ComputedForOn.ShouldBe(StoreFixture.TodayOn);
    }

    private async Task<Child> SaveChildAsync(string bornOn, int? gestationDays = 280)
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, bornOn, gestationDays);
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    private async Task<ItemStatus> FindAsync(Guid childId, string item)
    {
        await using var context = store.ContextA();
        return await context.ItemStatuses.AsNoTracking().SingleAsync(row => row.ChildId == childId && row.Item == item, Ct);
    }
}
