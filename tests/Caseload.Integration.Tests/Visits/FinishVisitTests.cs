using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Visits;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Visits;

public sealed class FinishVisitTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly VisitSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Finish_WithEntries_SavesVisitFindingsStatusesAndActivityAndDropsTheDraft()
    {
        var child = await _steps.AddChildAsync();
        var visitId = await _steps.StartAsync(child);
        var form = new VisitForm
        {
            Place = " At home ",
            Note = "Long nap before",
            Entries = [VisitSteps.Alike("moro", Response.Typical), VisitSteps.Entry("rooting", Response.Weak, Response.Absent)],
        };
        var draft = await _steps.SaveDraft.HandleAsync(_steps.Actor, new SaveVisitDraft(visitId, form, null), Ct);

        var outcome = await FinishAsync(visitId, form, ((SaveVisitDraftOutcome.Saved)draft).Version);

        outcome.ShouldBeOfType<FinishVisitOutcome.Finished>();
        await using var context = store.ContextA();
        var visit = await context.Visits.SingleAsync(row => row.Id == visitId, Ct);
        visit.FinishedAt.ShouldBe(StoreFixture.NoonAt);
        (visit.Place, visit.Note).ShouldBe(("At home", "Long nap before"));
        var findings = await FindingsAsync(visitId);
        findings
            .Select(row => (row.Item, row.Side, row.Response))
            .ShouldBe(
                [("moro", Side.Both, Response.Typical), ("rooting", Side.Left, Response.Weak), ("rooting", Side.Right, Response.Absent)],
                ignoreOrder: true
            );
        (await context.VisitDrafts.AnyAsync(row => row.VisitId == visitId, Ct)).ShouldBeFalse();
        (await context.AccessEntries.CountAsync(row => row.ChildId == child.Id && row.What == "visit-finished", Ct)).ShouldBe(1);
        (await StatusAsync(child.Id, "moro")).State.ShouldBe(ItemState.Persisting);
    }

    [Fact]
    public async Task Finish_WithOneSideUntestable_KeepsAFindingForEachSide()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());

        await _steps.FinishAsync(
            visitId,
            VisitSteps.Entry("palmar_grasp", Response.Typical, null) with
            {
                NotTested = NotTestedReason.CastOrHarness,
                Note = "cast on the right",
            }
        );

        (await FindingsAsync(visitId))
            .Select(row => (row.Side, row.Response, row.NotTested, row.Note))
            .ShouldBe(
                [
                    (Side.Left, (Response?)Response.Typical, null, "cast on the right"),
                    (Side.Right, null, (NotTestedReason?)NotTestedReason.CastOrHarness, null),
                ],
                ignoreOrder: true
            );
    }

    [Fact]
    public async Task Finish_WithAnItemAddedAgainstAnExclusion_WritesTheReviewIntoTheFinding()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var form = new VisitForm
        {
            Added = [new AddedItem("landau", "Hip orthosis or harness: the fit may shift.")],
            Entries = [VisitSteps.Alike("landau", Response.Partial)],
        };

        await FinishAsync(visitId, form);

        (await FindingsAsync(visitId))
            .ShouldHaveSingleItem()
            .Note.ShouldBe("Exclusion reviewed with the team. Hip orthosis or harness: the fit may shift.");
    }

    [Fact]
    public async Task Finish_WithOneEntryThatIsWrong_SavesNothingAndNamesTheItem()
    {
        var child = await _steps.AddChildAsync();
        var visitId = await _steps.StartAsync(child);
        var form = new VisitForm { Entries = [VisitSteps.Alike("moro", Response.Typical), VisitSteps.Alike("rooting", Response.Complete)] };

        var outcome = await FinishAsync(visitId, form);

        var refusal = outcome.ShouldBeOfType<FinishVisitOutcome.Refused>().Refusals.ShouldHaveSingleItem();
        refusal.Item.ShouldBe("rooting");
        refusal.Refusal.Field.ShouldBe("response");
        (await FindingsAsync(visitId)).ShouldBeEmpty();
        (await _steps.GetAsync(visitId)).Open.ShouldNotBeNull();
        (await StatusAsync(child.Id, "moro")).State.ShouldBe(ItemState.DeadlinePassedUnchecked);
    }

    [Fact]
    public async Task Finish_WithTextsTooLong_IsRefusedAndNotCut()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var form = new VisitForm { Place = new string('x', TextLimits.Line + 1), Note = new string('x', TextLimits.Note + 1) };

        var outcome = await FinishAsync(visitId, form);

        outcome
            .ShouldBeOfType<FinishVisitOutcome.Refused>()
            .Refusals.Select(refusal => (refusal.Item, refusal.Refusal.Field))
            .ShouldBe([(null, "place"), (null, "note")]);
    }

    [Fact]
    public async Task Finish_Twice_LeavesOneSetOfFindings()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var form = new VisitForm { Entries = [VisitSteps.Alike("moro", Response.Typical)] };

        var outcomes = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => FinishAsync(visitId, form)));
        var later = await FinishAsync(visitId, form);

        outcomes.Count(outcome => outcome is FinishVisitOutcome.Finished).ShouldBe(1);
        outcomes.Append(later).Count(outcome => outcome is FinishVisitOutcome.AlreadyFinished { HoldsAll: true }).ShouldBe(4);
        (await FindingsAsync(visitId)).ShouldHaveSingleItem();
    }

    [Fact]
    public async Task Finish_AfterAnotherTabletFinished_SaysWhetherThatHoldsEverything()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var theirs = VisitSteps.Alike("moro", Response.Typical);
        await _steps.FinishAsync(visitId, theirs);

        var same = await FinishAsync(visitId, new VisitForm { Entries = [theirs] });
        var more = await FinishAsync(visitId, new VisitForm { Entries = [theirs, VisitSteps.Alike("rooting", Response.Weak)] });
        var noted = await FinishAsync(visitId, new VisitForm { Entries = [theirs], Note = "slept badly" });

        same.ShouldBe(new FinishVisitOutcome.AlreadyFinished(HoldsAll: true));
        more.ShouldBe(new FinishVisitOutcome.AlreadyFinished(HoldsAll: false));
        noted.ShouldBe(new FinishVisitOutcome.AlreadyFinished(HoldsAll: false));
    }

    [Fact]
    public async Task Finish_AfterAnotherTabletSaved_IsToldFirstAndThenGoesThrough()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var form = new VisitForm { Entries = [VisitSteps.Alike("moro", Response.Typical)] };
        await _steps.SaveDraft.HandleAsync(_steps.Actor, new SaveVisitDraft(visitId, new VisitForm { Note = "theirs" }, null), Ct);

        var first = (await FinishAsync(visitId, form)).ShouldBeOfType<FinishVisitOutcome.ChangedElsewhere>();
        var second = await FinishAsync(visitId, form, first.DraftVersion);

        second.ShouldBeOfType<FinishVisitOutcome.Finished>();
    }

    [Fact]
    public async Task Finish_WithAnUnsuitableState_IsInconclusiveAndNotNegative()
    {
        var child = await _steps.AddChildAsync("2026-10-01");
        var visitId = await _steps.StartAsync(child);

        var report = await _steps.FinishAsync(visitId, VisitSteps.Alike("moro", Response.Absent, BehaviouralState.Crying));

        var item = report.Items.ShouldHaveSingleItem();
        item.HasChanged.ShouldBeFalse();
        item.After.Reasons.ShouldContain(reason => reason.Code == ReasonCode.InconclusiveOn);
        item.After.NextCheck!.Purpose.ShouldBe(CheckPurpose.RepeatInconclusive);
        (await StatusAsync(child.Id, "moro")).State.ShouldBe(ItemState.ExpectedNotYetSeen);
    }

    [Fact]
    public async Task Finish_TwoAbsencesTwoWeeksApart_ShowPersistingThenAwaitingThenIntegrated()
    {
        var child = await _steps.AddChildAsync("2026-04-01");

        var first = await VisitAsync(child, "2026-10-28", Response.Typical);
        var second = await VisitAsync(child, "2026-11-11", Response.Absent);
        var third = await VisitAsync(child, "2026-11-25", Response.Absent);

        first.After.State.ShouldBe(ItemState.Persisting);
        first.TellBy.ShouldNotBeNull();
        (second.Before.State, second.After.State).ShouldBe((ItemState.Persisting, ItemState.AwaitingConfirmation));
        second.TellBy.ShouldBe(TellBy.NobodyYet);
        (third.Before.State, third.After.State).ShouldBe((ItemState.AwaitingConfirmation, ItemState.Integrated));
        third.TellBy.ShouldBeNull();

        async Task<CheckedItem> VisitAsync(Child child, string on, Response response)
        {
            var visitId = await _steps.StartAsync(child, StoreFixture.Day(on));
            return (await _steps.FinishAsync(visitId, VisitSteps.Alike("moro", response))).Items.ShouldHaveSingleItem();
        }
    }

    [Fact]
    public async Task Finish_OneSidedForTheFirstTime_PutsItUnderTheSameDay()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());

        var report = await _steps.FinishAsync(
            visitId,
            VisitSteps.Alike("galant", Response.Typical),
            VisitSteps.Entry("moro", Response.Typical, Response.Absent)
        );

        report
            .Items.Select(item => (item.After.Item.Id, item.TellBy))
            .ShouldBe([("moro", (TellBy?)TellBy.SameDay), ("galant", (TellBy?)TellBy.WithinAWeek)]);
    }

    [Fact]
    public async Task Finish_Any_LeavesStatusesAsTheInterpreterTellsThem()
    {
        var child = await _steps.AddChildAsync("2026-02-10");
        await _steps.FinishAsync(
            await _steps.StartAsync(child, StoreFixture.Day("2026-10-01")),
            VisitSteps.Alike("moro", Response.Brisk),
            VisitSteps.Alike("landau", Response.Partial)
        );
        await _steps.FinishAsync(
            await _steps.StartAsync(child),
            VisitSteps.Alike("moro", Response.Absent),
            VisitSteps.Entry("palmar_grasp", Response.Typical, Response.Weak)
        );

        await using var context = store.ContextA();
        var recorded = await context.Findings.Where(row => row.ChildId == child.Id).ToListAsync(Ct);
        var expected = StatusProjection.Compute(
            child,
            [.. recorded.Select(row => row.ToFinding())],
            await store.Library.GetActiveAsync(context, Ct),
            StoreFixture.TodayOn
        );
        var stored = await context.ItemStatuses.Where(row => row.ChildId == child.Id).ToListAsync(Ct);
        stored.OrderBy(row => row.Item).Select(Facts).ShouldBe(expected.OrderBy(row => row.Item).Select(Facts));

        static object Facts(ItemStatus row) =>
            (row.Item, row.State, row.Step, row.SinceOn, row.CheckFromOn, row.CheckThroughOn, row.CheckPurpose, row.NextChangeOn);
    }

    [Fact]
    public async Task Finished_ReadAgain_TellsTheSameAsTheFinishDid()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var report = await _steps.FinishAsync(visitId, VisitSteps.Entry("moro", Response.Typical, Response.Absent));

        var again = (await _steps.GetAsync(visitId)).Finished!;

        again
            .Report.Items.Select(item => (item.Before.State, item.After.State, item.TellBy))
            .ShouldBe(report.Items.Select(item => (item.Before.State, item.After.State, item.TellBy)));
        again.Findings.Count.ShouldBe(2);
        again.Findings.ShouldAllBe(row => row.IsStanding);
    }

    private Task<FinishVisitOutcome> FinishAsync(Guid visitId, VisitForm form, uint? version = null) =>
        _steps.Finish.HandleAsync(_steps.Actor, new FinishVisit(visitId, form, version), Ct);

    private async Task<List<Finding>> FindingsAsync(Guid visitId)
    {
        await using var context = store.ContextA();
        var rows = await context.Findings.Where(row => row.VisitId == visitId).ToListAsync(Ct);
        return [.. rows.Select(row => row.ToFinding())];
    }

    private async Task<ItemStatus> StatusAsync(Guid childId, string item)
    {
        await using var context = store.ContextA();
        return await context.ItemStatuses.SingleAsync(row => row.ChildId == childId && row.Item == item, Ct);
    }
}
