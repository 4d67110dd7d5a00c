using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Reference;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Children;

/// <summary>Signs of the urgent list, as the child's page and the visit's page record them.</summary>
public sealed class SignTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Sign_Recorded_StandsUntilItIsSettled()
    {
        var child = await AddChildAsync();
        var id = StoreFixture.NewId();
        var heard = 0;
        using var line = store.Notifier.Listen(store.ProgrammeA, () => heard++);

        (await RecordAsync(child, id, UrgentSign.FeedingCollapse, note: " Takes nothing since noon ")).ShouldBeEmpty();
        var standing = (await ListAsync(child)).Rows.ShouldHaveSingleItem();
        (await SettleAsync(child, id)).ShouldBeEmpty();
        var settled = (await ListAsync(child)).Rows.ShouldHaveSingleItem();

        standing.ShouldBe(new ChildSignRow(id, UrgentSign.FeedingCollapse, StoreFixture.TodayOn, null, "Takes nothing since noon"));
        settled.ShouldBe(standing with { SettledOn = StoreFixture.TodayOn });
        heard.ShouldBe(2);
    }

    [Fact]
    public async Task Sign_RecordedOrSettledTwice_IsThereOnce()
    {
        var child = await AddChildAsync();
        var id = StoreFixture.NewId();

        (await RecordAsync(child, id, UrgentSign.Apnoea)).ShouldBeEmpty();
        (await RecordAsync(child, id, UrgentSign.Apnoea)).ShouldBeEmpty();
        (await RecordAsync(child, StoreFixture.NewId(), UrgentSign.Apnoea)).Single().Field.ShouldBe("sign");
        (await SettleAsync(child, id)).ShouldBeEmpty();
        (await SettleAsync(child, id)).ShouldBeEmpty();
        (await RecordAsync(child, StoreFixture.NewId(), UrgentSign.Apnoea)).ShouldBeEmpty();

        (await ListAsync(child)).Rows.Select(row => row.SettledOn is null).ShouldBe([true, false]);
    }

    [Theory]
    [InlineData(null, "2026-11-25", "sign")]
    [InlineData(UrgentSign.Lethargy, null, "sign-seen")]
    [InlineData(UrgentSign.Lethargy, "2026-11-26", "sign-seen")]
    [InlineData(UrgentSign.Lethargy, "2026-07-31", "sign-seen")]
    public async Task Sign_ThatCannotBe_IsRefusedAtItsField(UrgentSign? sign, string? seenOn, string field)
    {
        var child = await AddChildAsync();
        var command = new RecordSign(child.Id, StoreFixture.NewId(), sign, seenOn is null ? null : StoreFixture.Day(seenOn), "");

        var refusals = await new RecordSignHandler(store.Db, store.Statuses, store.Time).HandleAsync(store.LeadA, command, Ct);

        refusals.Single().Field.ShouldBe(field);
        (await ListAsync(child)).Rows.ShouldBeEmpty();
    }

    [Fact]
    public async Task Sign_OfAClosedCase_IsRefused()
    {
        var child = await AddChildAsync(row => (row.ClosedOn, row.ClosingReason) = (StoreFixture.TodayOn, "moved away"));

        (await RecordAsync(child, StoreFixture.NewId(), UrgentSign.NewSeizure)).Single().Message.ShouldContain("closed");
        (await ListAsync(child)).IsClosed.ShouldBeTrue();
    }

    [Fact]
    [Trait("Requirement", "SEC-37")]
    public async Task Sign_Always_StandsInTheAccessRecordWithoutItsNote()
    {
        var child = await AddChildAsync();
        var id = StoreFixture.NewId();
        await RecordAsync(child, id, UrgentSign.UnexplainedInjury, note: "A bruise on the left arm");
        await ListAsync(child);
        await SettleAsync(child, id);

        await using var context = store.ContextA();
        var entries = await context.AccessEntries.Where(row => row.ChildId == child.Id).OrderBy(row => row.Number).ToListAsync(Ct);
        entries.Select(entry => entry.What).ShouldBe(["sign-recorded", "signs-listed", "sign-settled"]);
        entries[0].Detail.ShouldContain("unexplained-injury");
        entries.ShouldAllBe(entry => !entry.Detail.Contains("bruise"));
    }

    [Fact]
    public async Task Exclusion_Changed_RewritesWhereTheChildStandsInTheSameSave()
    {
        var child = await AddChildAsync();
        await using (var context = store.ContextA())
        {
            await context.ItemStatuses.Where(row => row.ChildId == child.Id).ExecuteDeleteAsync(Ct);
        }

        var refusals = await new ChangeExclusionHandler(store.Db, store.Statuses, store.Time).HandleAsync(
            store.LeadA,
            new ChangeExclusion(child.Id, StoreFixture.NewId(), Exclusion.Reflux, StoreFixture.TodayOn, null),
            Ct
        );

        refusals.ShouldBeEmpty();
        await using var after = store.ContextA();
        (await after.ItemStatuses.CountAsync(row => row.ChildId == child.Id, Ct)).ShouldBe(ReferenceSets.Default.Items.Count);
    }

    private async Task<Child> AddChildAsync(Action<Child>? change = null)
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context);
        change?.Invoke(child);
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    private Task<IReadOnlyList<Refusal>> RecordAsync(Child child, Guid id, UrgentSign sign, string note = "") =>
        new RecordSignHandler(store.Db, store.Statuses, store.Time).HandleAsync(
            store.LeadA,
            new RecordSign(child.Id, id, sign, StoreFixture.TodayOn, note),
            Ct
        );

    private Task<IReadOnlyList<Refusal>> SettleAsync(Child child, Guid id) =>
        new SettleSignHandler(store.Db, store.Statuses, store.Time).HandleAsync(store.LeadA, new SettleSign(child.Id, id), Ct);

    private async Task<SignList> ListAsync(Child child) =>
        (await new ListSignsHandler(store.Db, store.Time).HandleAsync(store.LeadA, new ListSigns(child.Id), Ct))!;
}
