using Caseload.Data.Access;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Family;
using Caseload.Web.Platform.Families;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Papers;

/// <summary>The page for the family is kept as it was written.</summary>
public sealed class FamilyLetterTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static readonly FamilyPart[] _parts = [new("What we saw", "My own words: łąka, niño, \"quoted\".\n- a point")];

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Page_Kept_IsThereToTheLetterAndOnlyOnce()
    {
        var childId = await AddChildAsync();
        var request = new KeepFamilyPage(StoreFixture.NewId(), childId, "es", _parts, " Given Family, 555 0100 ");

        (await KeepAsync(request)).ShouldBeEmpty();
        (await KeepAsync(request)).ShouldBeEmpty();

        var kept = (await GetAsync(childId))!.Kept.ShouldHaveSingleItem();
        (kept.Id, kept.Language, kept.Contact, kept.Who).ShouldBe((request.Id, "es", "Given Family, 555 0100", store.LeadA.DisplayName));
        kept.Parts.ShouldBe(_parts);
        (await GetAsync(childId))!.Contact.ShouldBe("Given Family, 555 0100", "whom to call is remembered");
        await using var context = store.ContextA();
        (await context.AccessEntries.CountAsync(row => row.What == "family-page-kept" && row.ChildId == childId, Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task Page_WithoutTextOrCaller_IsRefusedAtTheField()
    {
        var childId = await AddChildAsync();

        var refusals = await KeepAsync(new KeepFamilyPage(StoreFixture.NewId(), childId, "en", [.. _parts, new("More", "  ")], ""));

        refusals.Select(refusal => refusal.Field).ShouldBe(["part-1", "contact"]);
        (await KeepAsync(new KeepFamilyPage(StoreFixture.NewId(), childId, "en", [new("A", new string('a', 4001))], "x")))
            .ShouldHaveSingleItem()
            .Field.ShouldBe("part-0");
        (await GetAsync(childId))!.Kept.ShouldBeEmpty();
    }

    [Fact]
    public async Task Page_OfAChildWithSomethingUrgent_SaysToTalkFirst()
    {
        (await GetAsync(await AddChildAsync(Response.Typical)))!.IsUrgent.ShouldBeFalse();
        (await GetAsync(await AddChildAsync(Response.Obligatory)))!.IsUrgent.ShouldBeTrue();
    }

    [Fact]
    public async Task Observer_ReadsAndDoesNotKeep()
    {
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Odo Server");
        var childId = await AddChildAsync();

        (
            await new GetFamilyPageHandler(store.Db, store.Library, store.Time).HandleAsync(observer, new GetFamilyPage(childId, null), Ct)
        ).ShouldNotBeNull();
        await Should.ThrowAsync<AccessDeniedException>(() =>
            new KeepFamilyPageHandler(store.Db, store.Time).HandleAsync(
                observer,
                new KeepFamilyPage(StoreFixture.NewId(), childId, "en", _parts, "x"),
                Ct
            )
        );
    }

    [Fact]
    public async Task Page_ForPaper_IsTheKeptOneAndIsNoted()
    {
        var childId = await AddChildAsync();
        var id = StoreFixture.NewId();
        await KeepAsync(new KeepFamilyPage(id, childId, "en", _parts, "Given Family, 555 0100"));

        await using var file = await new ExportFamilyPageHandler(store.Db, store.Time).HandleAsync(
            store.LeadA,
            new ExportFamilyPage(childId, id),
            Ct
        );

        file!.Name.ShouldEndWith("-2026-11-25-en.pdf");
        file.Content.Length.ShouldBeGreaterThan(2000);
        (
            await new ExportFamilyPageHandler(store.Db, store.Time).HandleAsync(
                store.LeadA,
                new ExportFamilyPage(await AddChildAsync(), id),
                Ct
            )
        ).ShouldBeNull();
        await using var context = store.ContextA();
        (await context.AccessEntries.CountAsync(row => row.What == "family-page-exported" && row.ChildId == childId, Ct)).ShouldBe(1);
    }

    private Task<FamilyView?> GetAsync(Guid childId) =>
        new GetFamilyPageHandler(store.Db, store.Library, store.Time).HandleAsync(store.LeadA, new GetFamilyPage(childId, null), Ct);

    private Task<IReadOnlyList<Domain.Refusal>> KeepAsync(KeepFamilyPage request) =>
        new KeepFamilyPageHandler(store.Db, store.Time).HandleAsync(store.LeadA, request, Ct);

    private async Task<Guid> AddChildAsync(Response response = Response.Typical)
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, StoreFixture.TodayOn.AddMonths(-3), 280);
        StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, response);
        await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        return child.Id;
    }
}
