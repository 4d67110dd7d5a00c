using Caseload.Data;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Reference;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;

namespace Caseload.Integration.Tests.Reference;

public sealed class PublishReferenceSetTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);
    private readonly FakeTimeProvider _time = new(StoreFixture.NoonAt);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Actor Actor => _store.LeadA;

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task Publish_PutsTheCopyInUseAndRewritesStatusesInOneGo()
    {
        var child = await SavePersistingChildAsync();

        var outcome = await PublishAsync("larkfield", "1", MoroThrough(12));

        outcome.ShouldBe(new PublishReferenceSetOutcome.Done("larkfield@1", 1));
        await using var context = _store.ContextA();
        (await context.Programmes.Select(row => row.ActiveSetKey).SingleAsync(Ct)).ShouldBe("larkfield@1");
        var version = await context.ReferenceSetVersions.SingleAsync(row => row.Key == "larkfield@1", Ct);
        version.BasedOn.ShouldBe("published@1");
        version.ChangeReason.ShouldBe("Local protocol");
        version.PublishedBy.ShouldBe(_store.LeadA.DisplayName);
        version.PublishedOn.ShouldBe(StoreFixture.TodayOn);
        var moro = await context.ItemStatuses.SingleAsync(row => row.ChildId == child && row.Item == "moro", Ct);
        moro.SetKey.ShouldBe("larkfield@1");
        moro.State.ShouldBe(ItemState.PresentAsExpected);
        (await context.Findings.Select(row => row.SetKey).SingleAsync(Ct)).ShouldBe("published@1");
        (await context.AccessEntries.CountAsync(row => row.What == "reference-published", Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task Publish_UnderATakenKey_IsRefusedAndSavesNothing()
    {
        await PublishAsync("larkfield", "1", MoroThrough(12));

        var outcome = await PublishAsync("larkfield", "1", MoroThrough(10), basedOn: "larkfield@1");

        Refusal(outcome).Field.ShouldBe("version");
        Refusal(outcome).Message.ShouldContain("larkfield@1 is published already");
        await using var context = _store.ContextA();
        (await context.ReferenceSetVersions.CountAsync(Ct)).ShouldBe(ReferenceSets.BuiltIn.Count + 1);
    }

    [Fact]
    public async Task Publish_WhenAnotherVersionCameIntoUse_IsRefused()
    {
        await PublishAsync("larkfield", "1", MoroThrough(12));

        var outcome = await PublishAsync("larkfield", "2", MoroThrough(10));

        Refusal(outcome).Field.ShouldBe("basis");
    }

    [Theory]
    [InlineData("larkfield", "1", " ", "reason")]
    [InlineData("Lark field", "1", "Why", "name")]
    [InlineData("9lark", "1", "Why", "name")]
    public async Task Publish_WithAFault_NamesTheField(string name, string version, string reason, string field)
    {
        var outcome = await PublishAsync(name, version, MoroThrough(12), reason);

        Refusal(outcome).Field.ShouldBe(field);
    }

    [Fact]
    public async Task Publish_WithAFigureThatCannotBe_NamesItemAndFigure()
    {
        var rule = ReferenceSets.Default.Find("moro")!.Rule with { Latest = new(2, ["common-practice"]) };

        var outcome = await PublishAsync("larkfield", "1", new Dictionary<string, ItemRuleFigures> { ["moro"] = rule });

        Refusal(outcome).Field.ShouldBe("moro.latest");
    }

    [Fact]
    public async Task Preview_CountsTheStatusesThatWouldDifferAndSavesNothing()
    {
        await SavePersistingChildAsync();
        var candidate = ReferenceSets.Default.CopyAs("larkfield", "1", StoreFixture.TodayOn, "Why", MoroThrough(12)).Value;

        var preview = await new PreviewReferenceSetHandler(_store.Db, _store.Library, _time).HandleAsync(
            Actor,
            new PreviewReferenceSet(candidate),
            Ct
        );

        preview.OpenChildCount.ShouldBe(1);
        preview.ChangedChildCount.ShouldBe(1);
        preview.Changes.ShouldBe([new("Moro", "Persisting, past the latest limit", "Present as expected", 1)]);
        await using var context = _store.ContextA();
        (await context.ReferenceSetVersions.CountAsync(Ct)).ShouldBe(ReferenceSets.BuiltIn.Count);
    }

    [Fact]
    public async Task Activate_AnEarlierVersion_RewritesStatusesWithIt()
    {
        var child = await SavePersistingChildAsync();
        await PublishAsync("larkfield", "1", MoroThrough(12));

        var outcome = await ActivateAsync("published@1", insteadOf: "larkfield@1");

        outcome.ShouldBe(new ActivateReferenceSetOutcome.Done(1));
        await using var context = _store.ContextA();
        var moro = await context.ItemStatuses.SingleAsync(row => row.ChildId == child && row.Item == "moro", Ct);
        (moro.SetKey, moro.State).ShouldBe(("published@1", ItemState.Persisting));
        var entry = await context.AccessEntries.SingleAsync(row => row.What == "reference-activated", Ct);
        entry.Detail.ShouldContain("trial-ended");
    }

    [Theory]
    [InlineData("published@1", "published@1")]
    [InlineData("nowhere@1", "published@1")]
    [InlineData("published@1", "larkfield@1")]
    public async Task Activate_WhatCannotBe_IsRefused(string key, string insteadOf) =>
        (await ActivateAsync(key, insteadOf)).ShouldBeOfType<ActivateReferenceSetOutcome.Refused>();

    [Fact]
    public async Task Draft_OffersAFreeVersionUnderTheProgrammesName()
    {
        var handler = new GetReferenceDraftHandler(_store.Db, _store.Library, _time);
        var first = await handler.HandleAsync(Actor, new GetReferenceDraft(), Ct);
        await PublishAsync(first.Name, first.Version, MoroThrough(12));

        var second = await handler.HandleAsync(Actor, new GetReferenceDraft(), Ct);

        (first.Name, first.Version).ShouldBe(("programme", "1"));
        (second.Name, second.Version).ShouldBe(("programme", "2"));
    }

    [Fact]
    public async Task Find_AndList_ShowVersionsOfTheOwnProgrammeOnly()
    {
        await PublishAsync("larkfield", "1", MoroThrough(12));
        var other = _store.LeadB;
        var find = new FindReferenceSetHandler(_store.Db, _store.Library);
        var list = new ListReferenceVersionsHandler(_store.Db);

        (await find.HandleAsync(Actor, new FindReferenceSet(null), Ct))!.Set.Key.ShouldBe("larkfield@1");
        (await find.HandleAsync(Actor, new FindReferenceSet("published@1"), Ct))!.IsActive.ShouldBeFalse();
        (await find.HandleAsync(other, new FindReferenceSet("larkfield@1"), Ct)).ShouldBeNull();
        (await list.HandleAsync(Actor, new ListReferenceVersions(), Ct))[0].Key.ShouldBe("larkfield@1");
        (await list.HandleAsync(other, new ListReferenceVersions(), Ct)).ShouldAllBe(row => row.Key != "larkfield@1");
    }

    private static Domain.Refusal Refusal(PublishReferenceSetOutcome outcome) =>
        outcome.ShouldBeOfType<PublishReferenceSetOutcome.Refused>().Refusals[0];

    private static Dictionary<string, ItemRuleFigures> MoroThrough(int months) =>
        new()
        {
            ["moro"] = ReferenceSets.Default.Find("moro")!.Rule with
            {
                UsualThrough = new(months, ["common-practice"]),
                Latest = new(months, ["common-practice"]),
            },
        };

    private Task<PublishReferenceSetOutcome> PublishAsync(
        string name,
        string version,
        IReadOnlyDictionary<string, ItemRuleFigures> changes,
        string reason = "Local protocol",
        string basedOn = "published@1"
    ) =>
        new PublishReferenceSetHandler(_store.Db, _store.Library, _store.Statuses, _time).HandleAsync(
            Actor,
            new PublishReferenceSet(basedOn, name, version, reason, changes),
            Ct
        );

    private Task<ActivateReferenceSetOutcome> ActivateAsync(string key, string insteadOf) =>
        new ActivateReferenceSetHandler(_store.Db, _store.Statuses, _time).HandleAsync(
            Actor,
            new ActivateReferenceSet(key, insteadOf, ActivationReason.TrialEnded),
            Ct
        );

    private async Task<Guid> SavePersistingChildAsync()
    {
        await using var context = _store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, "2026-03-01");
        StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Typical);
        await _store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        return child.Id;
    }
}
