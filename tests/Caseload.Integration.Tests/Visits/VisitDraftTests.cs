using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Visits;

public sealed class VisitDraftTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly VisitSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Draft_Reloaded_IsTheFormThatWasSaved()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var clinician = await _steps.AddClinicianAsync();
        var form = new VisitForm
        {
            State = BehaviouralState.ActiveAlert,
            ClinicianId = clinician.Id,
            Place = "At home",
            Note = "Half sent\n\"quoted\"",
            Added = [new AddedItem("landau", "Hip orthosis or harness: the fit may shift.")],
            Entries =
            [
                VisitSteps.Entry("moro", Response.Typical, null) with
                {
                    Variant = "Head sinks back, supine",
                    Note = "slow",
                    IsFolded = true,
                },
                VisitSteps.Entry("rooting", null, null) with
                {
                    NotTested = NotTestedReason.JustFed,
                },
            ],
        };

        var saved = (await SaveAsync(visitId, form, null)).ShouldBeOfType<SaveVisitDraftOutcome.Saved>();

        saved.ReplacedAnother.ShouldBeFalse();
        var open = (await _steps.GetAsync(visitId)).Open!;
        open.Form.Write().ShouldBe(form.Write());
        open.DraftVersion.ShouldBe(saved.Version);
        open.DraftAt.ShouldBe(StoreFixture.NoonAt);
    }

    [Fact]
    public async Task Draft_SavedAgainWithTheKnownVersion_IsReplacedQuietly()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var first = (await SaveAsync(visitId, new VisitForm { Note = "a" }, null)).ShouldBeOfType<SaveVisitDraftOutcome.Saved>();

        var second = (await SaveAsync(visitId, new VisitForm { Note = "ab" }, first.Version)).ShouldBeOfType<SaveVisitDraftOutcome.Saved>();

        second.ReplacedAnother.ShouldBeFalse();
        (await _steps.GetAsync(visitId)).Open!.Form.Note.ShouldBe("ab");
    }

    [Fact]
    public async Task Draft_SavedOnTwoTablets_KeepsTheLastAndSaysSo()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        var mine = (await SaveAsync(visitId, new VisitForm { Note = "mine" }, null)).ShouldBeOfType<SaveVisitDraftOutcome.Saved>();
        await SaveAsync(visitId, new VisitForm { Note = "theirs" }, mine.Version);

        var again = (
            await SaveAsync(visitId, new VisitForm { Note = "mine too" }, mine.Version)
        ).ShouldBeOfType<SaveVisitDraftOutcome.Saved>();

        again.ReplacedAnother.ShouldBeTrue();
        (await _steps.GetAsync(visitId)).Open!.Form.Note.ShouldBe("mine too");
    }

    [Fact]
    public async Task Draft_SavedManyTimesAtOnce_IsAlwaysOneOfTheForms()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());

        var outcomes = await Task.WhenAll(
            Enumerable.Range(0, 8).Select(number => SaveAsync(visitId, new VisitForm { Note = $"n{number}" }, null))
        );

        outcomes.OfType<SaveVisitDraftOutcome.Saved>().ShouldNotBeEmpty();
        outcomes.ShouldAllBe(outcome => outcome is SaveVisitDraftOutcome.Saved || outcome is SaveVisitDraftOutcome.SavedElsewhere);
        (await _steps.GetAsync(visitId)).Open!.Form.Note.ShouldStartWith("n");
    }

    [Fact]
    public async Task Draft_OfAFinishedVisit_IsNotKept()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());
        await _steps.FinishAsync(visitId);

        var outcome = await SaveAsync(visitId, new VisitForm { Note = "late" }, null);

        outcome.ShouldBeOfType<SaveVisitDraftOutcome.NotOpen>();
        await using var context = store.ContextA();
        (await context.VisitDrafts.AnyAsync(row => row.VisitId == visitId, Ct)).ShouldBeFalse();
    }

    [Fact]
    public async Task Visit_OfAnotherProgramme_IsNotFound()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync());

        var view = await _steps.Get.HandleAsync(store.LeadB, new GetVisit(visitId), Ct);

        view.ShouldBeNull();
    }

    private Task<SaveVisitDraftOutcome> SaveAsync(Guid visitId, VisitForm form, uint? version) =>
        _steps.SaveDraft.HandleAsync(_steps.Actor, new SaveVisitDraft(visitId, form, version), Ct);
}
