using Caseload.Data.Access;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Record;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Record;

[Trait("Requirement", "SEC-07")]
public sealed class ReachByReasonTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly RecordSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Child_OutsideTheReach_OpensByReasonForALimitedTimeAndIsToldToTheTeamLead()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();
        (await _steps.OpenAsync(clinician, child.Id)).ShouldBeNull();

        var outcome = await _steps.ReachAsync(clinician, $" {child.Code.ToLowerInvariant()} ");

        outcome.ShouldBe(new OpenByReasonOutcome.Opened(child.Id));
        (await _steps.OpenAsync(clinician, child.Id)).ShouldNotBeNull();
        (await _steps.EntriesOfAsync(clinician))
            .Select(entry => (entry.What, entry.Why, entry.ChildId))
            .ShouldBe([("reach-by-reason", "reach-by-reason", child.Id), ("child-opened", "reach-by-reason", child.Id)]);
        var row = (await ReasonsAsync(store.LeadA)).Single(reach => reach.ChildId == child.Id);
        (row.ChildCode, row.Reason, row.UntilAt - row.FromAt).ShouldBe((child.Code, RecordSteps.Reason, TimeSpan.FromHours(8)));
        (await OwnAsync(clinician)).Rows.ShouldHaveSingleItem().Code.ShouldBe(child.Code);
    }

    [Fact]
    public async Task Reach_WhenItsTimeIsOver_IsClosed()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();
        await _steps.AddReachAsync(clinician, child.Id, RecordSteps.Reason, store.Time.GetUtcNow().AddSeconds(1));
        (await _steps.OpenAsync(clinician, child.Id)).ShouldNotBeNull();
        store.Time.Advance(TimeSpan.FromSeconds(1));

        (await _steps.OpenAsync(clinician, child.Id)).ShouldBeNull();
        (await OwnAsync(clinician)).Rows.ShouldBeEmpty();
    }

    [Fact]
    public async Task Reach_EndedByThePerson_IsClosedAtOnce_AndNobodyElseCanEndIt()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var other = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();
        await _steps.ReachAsync(clinician, child.Code);
        var id = (await OwnAsync(clinician)).Rows.ShouldHaveSingleItem().Id;
        var ender = new EndReachHandler(store.Db, store.Time);

        (await ender.HandleAsync(other, new EndReach(id), Ct)).ShouldBeFalse();
        (await _steps.OpenAsync(clinician, child.Id)).ShouldNotBeNull();
        (await ender.HandleAsync(clinician, new EndReach(id), Ct)).ShouldBeTrue();

        (await _steps.OpenAsync(clinician, child.Id)).ShouldBeNull();
        (await _steps.EntriesOfAsync(clinician))[^1].What.ShouldBe("reach-ended");
    }

    [Fact]
    public async Task Code_ThatIsUnknownOrOfAnotherProgramme_GetsOneAnswerAndIsRecordedWithoutIt()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        string foreign;
        do
        {
            foreign = (await _steps.AddChildAsync(programmeId: store.ProgrammeB)).Code;
        } while (await KnownInAAsync(foreign));

        var unknown = await _steps.ReachAsync(clinician, "K-999999");
        var elsewhere = await _steps.ReachAsync(clinician, foreign);

        var refused = unknown.ShouldBeOfType<OpenByReasonOutcome.Refused>().Refusals.ShouldHaveSingleItem();
        elsewhere.ShouldBeOfType<OpenByReasonOutcome.Refused>().Refusals.ShouldHaveSingleItem().ShouldBe(refused);
        (await _steps.EntriesOfAsync(clinician))
            .Select(entry => (entry.What, entry.ChildId, entry.Detail))
            .ShouldBe([("reach-refused", null, "{}"), ("reach-refused", null, "{}")]);
    }

    [Fact]
    public async Task Child_OfTheOwnCaseload_NeedsNoReason()
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync(clinician);

        var outcome = await _steps.ReachAsync(clinician, child.Code);

        outcome.ShouldBe(new OpenByReasonOutcome.ReachedAnyway(child.Id));
        (await OwnAsync(clinician)).Rows.ShouldBeEmpty();
    }

    [Theory]
    [InlineData("")]
    [InlineData("too short")]
    [InlineData("Emergency!")]
    [InlineData("test test test")]
    [InlineData("xxx xxxxxxx xxx")]
    [InlineData("aaaaaaaaaaaa bbbbbbbbbbbb")]
    [InlineData("because because because")]
    [InlineData("1234 5678 9012")]
    public async Task Reason_ThatSaysNothing_IsRefusedBeforeTheCodeIsLookedUp(string reason)
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();

        var outcome = await _steps.ReachAsync(clinician, child.Code, reason);

        outcome.ShouldBeOfType<OpenByReasonOutcome.Refused>().Refusals.ShouldHaveSingleItem().Field.ShouldBe(ReachReason.Field);
        (await _steps.EntriesOfAsync(clinician)).ShouldBeEmpty();
    }

    [Theory]
    [InlineData(Role.TeamLead)]
    [InlineData(Role.Observer)]
    public async Task Reach_LookedOver_LeavesTheList_AndIsRecorded(Role role)
    {
        var clinician = await _steps.AddAsync(Role.Clinician);
        var reviewer = await _steps.AddAsync(role);
        var child = await _steps.AddChildAsync();
        await _steps.ReachAsync(clinician, child.Code);
        var id = (await ReasonsAsync(reviewer)).Single(row => row.ChildId == child.Id).Id;

        (await ReviewAsync(reviewer, id)).ShouldBeTrue();

        (await ReasonsAsync(reviewer)).ShouldNotContain(row => row.Id == id);
        (await ReviewAsync(reviewer, id)).ShouldBeFalse();
        (await _steps.EntriesOfAsync(reviewer)).ShouldContain(entry => entry.What == "reach-reviewed" && entry.ChildId == child.Id);
        await using var context = store.ContextA();
        (await context.ReasonedReaches.SingleAsync(reach => reach.Id == id, Ct)).ReviewedById.ShouldBe(reviewer.PersonId);
    }

    [Fact]
    public async Task Reach_OfOnesOwn_IsLookedOverBySomebodyElse()
    {
        // Somebody who reached as a clinician and leads the team since.
        var person = await _steps.AddAsync(Role.Clinician);
        var child = await _steps.AddChildAsync();
        await _steps.ReachAsync(person, child.Code);
        var id = (await OwnAsync(person)).Rows.ShouldHaveSingleItem().Id;
        await using (var context = store.ContextA())
        {
            (await context.People.SingleAsync(row => row.Id == person.PersonId, Ct)).Roles = [Role.TeamLead];
            await context.SaveChangesAsync(Ct);
        }

        (await ReviewAsync(person, id)).ShouldBeFalse();

        (await ReasonsAsync(person)).Single(row => row.Id == id).IsOwn.ShouldBeTrue();
    }

    private async Task<bool> KnownInAAsync(string code)
    {
        await using var context = store.ContextA();
        return await context.Children.AnyAsync(child => child.Code == code, Ct);
    }

    private Task<OwnReaches> OwnAsync(Data.Actor actor) =>
        new ListOwnReachesHandler(store.Db, store.Time).HandleAsync(actor, new ListOwnReaches(), Ct);

    private Task<IReadOnlyList<ReasonedReachRow>> ReasonsAsync(Data.Actor actor) =>
        new ListReasonedReachesHandler(store.Db, store.Time).HandleAsync(actor, new ListReasonedReaches(), Ct);

    private Task<bool> ReviewAsync(Data.Actor actor, Guid id) =>
        new ReviewReachHandler(store.Db, store.Time).HandleAsync(actor, new ReviewReach(id), Ct);
}
