using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Integration.Tests.Visits;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Record;
using Caseload.Web.Features.Visits;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Record;

/// <summary>What looks leave behind, and who sees it.</summary>
public sealed class LookingTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly RecordSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(Role.Clinician, "own-caseload")]
    [InlineData(Role.TeamLead, "supervision")]
    [InlineData(Role.Observer, "supervision")]
    [Trait("Requirement", "SEC-37")]
    public async Task Reading_AsEachRole_LeavesOneEntryForEachLookWithItsPurpose(Role role, string why)
    {
        var actor = await _steps.AddAsync(role);
        var child = await _steps.AddChildAsync(role == Role.Clinician ? actor : null);
        var visit = await AddVisitAsync(child.Id);

        await _steps.OpenAsync(actor, child.Id);
        await new GetVisitHandler(store.Db, store.Library, store.Time).HandleAsync(actor, new GetVisit(visit), Ct);
        await ListAsync(actor, child.Code);
        await LooksAsync(actor, child.Id);

        var entries = await _steps.EntriesOfAsync(actor);
        entries
            .Select(entry => (entry.What, entry.Why, entry.ChildId, entry.Who, entry.Address, entry.At))
            .ShouldBe([
                ("child-opened", why, child.Id, actor.DisplayName, "192.0.2.1", StoreFixture.NoonAt),
                ("visit-opened", why, child.Id, actor.DisplayName, "192.0.2.1", StoreFixture.NoonAt),
                ("children-listed", why, null, actor.DisplayName, "192.0.2.1", StoreFixture.NoonAt),
                ("looks-listed", why, child.Id, actor.DisplayName, "192.0.2.1", StoreFixture.NoonAt),
            ]);
        entries[2].Detail.ShouldBe($$"""{"children": ["{{child.Id}}"]}""");
    }

    [Fact]
    [Trait("Requirement", "SEC-37")]
    [Trait("Requirement", "SEC-41")]
    public async Task Reading_AsAnAdministrator_IsDeniedAndRecordedWithoutHealthData()
    {
        var administrator = await _steps.AddAsync(Role.Administrator);
        var child = await _steps.AddChildAsync();

        await Should.ThrowAsync<AccessDeniedException>(() => _steps.OpenAsync(administrator, child.Id));

        var entry = (await _steps.EntriesOfAsync(administrator)).ShouldHaveSingleItem();
        (entry.What, entry.Why, entry.ChildId, entry.Detail).ShouldBe(
            ("denied", "administration", null, """{"permission": "read-children"}""")
        );
    }

    [Fact]
    [Trait("Requirement", "SEC-37")]
    public async Task WhoLooked_ForAClinician_GroupsByDayAndPersonAndFoldsLists()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync(clinician);
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Olive Observer");
        await _steps.OpenAsync(observer, child.Id);
        await _steps.OpenAsync(observer, child.Id);
        await ListAsync(observer, child.Code);
        await ListAsync(observer, child.Code);
        await ListAsync(observer, child.Code);

        var looks = await LooksAsync(clinician, child.Id);

        var row = looks.Rows.Single(look => look.Who == "Olive Observer");
        (row.On, row.ListCount).ShouldBe((StoreFixture.TodayOn, 3));
        row.Acts.ShouldBe([new LookAct("Opened the child's record", "Supervision", 2)]);
        looks.HasOlder.ShouldBeFalse();
    }

    [Fact]
    public async Task WhoLooked_OfAChildOutOfReach_IsEmpty()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();
        await _steps.OpenAsync(store.LeadA, child.Id);

        (await LooksAsync(clinician, child.Id)).Rows.ShouldBeEmpty();
    }

    [Fact]
    public async Task WhoLooked_LongAgo_IsShownOnDemand()
    {
        var child = await _steps.AddChildAsync();
        await using (var context = store.ContextA())
        {
            context.Record("child-opened", child.Id, StoreFixture.NoonAt.AddDays(-100));
            await context.SaveChangesAsync(Ct);
        }

        var recent = await LooksAsync(store.LeadA, child.Id);
        var all = await LooksAsync(store.LeadA, child.Id, 180);

        recent.HasOlder.ShouldBeTrue();
        recent.Rows.ShouldNotContain(row => row.Who == "test");
        all.Rows.ShouldContain(row => row.Who == "test" && row.On == StoreFixture.TodayOn.AddDays(-100));
        all.HasOlder.ShouldBeFalse();
    }

    [Fact]
    public async Task Search_ByPersonChildGroupAndDays_FindsWhatMatches()
    {
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Nora Night");
        var child = await _steps.AddChildAsync();
        var other = await _steps.AddChildAsync();
        await _steps.OpenAsync(observer, child.Id);
        await _steps.OpenAsync(observer, other.Id);
        await ListAsync(observer, child.Code);
        await Should.ThrowAsync<AccessDeniedException>(() => store.Db.EnterAsync(observer, Permission.ManagePeople, Ct));
        var all = new SearchRecord(observer.PersonId, "", null, null, null, 0);

        (await WordsAsync(all)).ShouldBe([
            "Was not allowed: manage people",
            "Saw 1 child in a list",
            "Opened the child's record",
            "Opened the child's record",
        ]);
        (await WordsAsync(all with { ChildCode = child.Code.ToLowerInvariant() })).ShouldBe([
            "Saw 1 child in a list",
            "Opened the child's record",
        ]);
        (await WordsAsync(all with { Group = AccessGroup.Denied })).ShouldBe(["Was not allowed: manage people"]);
        (await WordsAsync(all with { Group = AccessGroup.Looked })).Count.ShouldBe(3);
        (await WordsAsync(all with { Group = AccessGroup.Changed })).ShouldBeEmpty();
        (await WordsAsync(all with { FromOn = StoreFixture.TodayOn, ThroughOn = StoreFixture.TodayOn })).Count.ShouldBe(4);
        (await WordsAsync(all with { ThroughOn = StoreFixture.TodayOn.AddDays(-1) })).ShouldBeEmpty();
        (await WordsAsync(all with { FromOn = StoreFixture.TodayOn.AddDays(1) })).ShouldBeEmpty();
        (await SearchAsync(all with { ChildCode = "K-999999" })).Refusals.ShouldHaveSingleItem().Field.ShouldBe("record-child");
        (await SearchAsync(all with { FromOn = StoreFixture.TodayOn, ThroughOn = StoreFixture.TodayOn.AddDays(-1) }))
            .Refusals.ShouldHaveSingleItem()
            .Field.ShouldBe("record-through");
        var row = (await SearchAsync(all with { ChildCode = other.Code })).Rows.ShouldHaveSingleItem();
        (row.ChildId, row.ChildCode, row.Why, row.Address, row.At.Hour).ShouldBe((other.Id, other.Code, "Supervision", "192.0.2.1", 12));
    }

    [Fact]
    public async Task Search_WithMoreThanAPage_TurnsPages()
    {
        var observer = await _steps.AddAsync(Role.Observer);
        var child = await _steps.AddChildAsync();
        for (var look = 0; look < SearchRecordHandler.PageSize + 1; look++)
        {
            await _steps.OpenAsync(observer, child.Id);
        }
        var request = new SearchRecord(observer.PersonId, "", null, null, null, 0);

        var first = await SearchAsync(request);
        var second = await SearchAsync(request with { Page = 1 });

        (first.Rows.Count, first.HasMore, second.Rows.Count, second.HasMore).ShouldBe((50, true, 1, false));
        second.Rows[0].Number.ShouldBeLessThan(first.Rows[^1].Number);
    }

    [Theory]
    [InlineData(Role.Administrator)]
    [InlineData(Role.Clinician)]
    public async Task Search_ByOthers_IsDenied(Role role)
    {
        var actor = await _steps.AddAsync(role);

        await Should.ThrowAsync<AccessDeniedException>(() =>
            new SearchRecordHandler(store.Db, store.Time).HandleAsync(actor, new SearchRecord(null, "", null, null, null, 0), Ct)
        );
    }

    [Fact]
    public async Task Verify_ByAnAdministrator_TellsTheOutcomeAndIsRecorded()
    {
        var administrator = await _steps.AddAsync(Role.Administrator);

        var outcome = await new VerifyRecordHandler(store.Db, store.Time).HandleAsync(
            administrator,
            new VerifyRecord(new Progress<VerifyProgress>()),
            Ct
        );

        outcome.Problem.ShouldBeNull();
        outcome.NewestHash.Length.ShouldBe(64);
        (await _steps.EntriesOfAsync(administrator)).ShouldHaveSingleItem().What.ShouldBe("record-verified");
    }

    [Fact]
    [Trait("Requirement", "SEC-42")]
    public async Task Correction_Always_KeepsTheOldValueTheAuthorAndTheReason()
    {
        var steps = new VisitSteps(store);
        var child = await steps.AddChildAsync();
        var visitId = await steps.StartAsync(child);
        await steps.FinishAsync(visitId, VisitSteps.Alike("moro", Response.Typical));
        var old = (await steps.GetAsync(visitId)).Finished!.Findings.ShouldHaveSingleItem().Finding;
        var corrector = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead, Role.Clinician]);

        var request = new CorrectFinding(
            VisitSteps.NewId(),
            old.Id,
            CorrectionForm.From(old) with
            {
                Response = Response.Absent,
                Reason = "Typed into the wrong row",
            }
        );
        await steps.Correct.HandleAsync(corrector, request, Ct);

        await using var context = store.ContextA();
        var rows = await context
            .Findings.AsNoTracking()
            .Where(row => row.ChildId == child.Id)
            .OrderBy(row => row.CorrectsId != null)
            .ToListAsync(Ct);
        rows.Select(row => (row.Response, row.CorrectsId, row.CorrectionReason))
            .ShouldBe([(Response.Typical, null, null), (Response.Absent, old.Id, "Typed into the wrong row")]);
        var entry = await context.AccessEntries.SingleAsync(row => row.What == "finding-corrected" && row.ChildId == child.Id, Ct);
        (entry.PersonId, entry.Who).ShouldBe((corrector.PersonId, corrector.DisplayName));
        entry.Detail.ShouldContain(rows[1].Id.ToString());
    }

    private async Task<Guid> AddVisitAsync(Guid childId)
    {
        await using var context = store.ContextA();
        var child = await context.Children.SingleAsync(row => row.Id == childId, Ct);
        var finding = StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Typical);
        await context.SaveChangesAsync(Ct);
        return finding.VisitId;
    }

    private Task<ChildList> ListAsync(Actor actor, string search) =>
        new ListChildrenHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            actor,
            new ListChildren(search, null, false, ChildSort.Name, false, 0),
            Ct
        );

    private Task<LookList> LooksAsync(Actor actor, Guid childId, int days = 90) =>
        new ListLooksHandler(store.Db, store.Time).HandleAsync(actor, new ListLooks(childId, days), Ct);

    private Task<RecordFindings> SearchAsync(SearchRecord request) =>
        new SearchRecordHandler(store.Db, store.Time).HandleAsync(store.LeadA, request, Ct);

    private async Task<List<string>> WordsAsync(SearchRecord request) => [.. (await SearchAsync(request)).Rows.Select(row => row.What)];
}
