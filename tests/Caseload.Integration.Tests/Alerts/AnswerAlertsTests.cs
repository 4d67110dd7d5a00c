using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Alerts;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Alerts;

public sealed class AnswerAlertsTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly AlertSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Acknowledged_OpenAlert_WaitsForNoAnswerAndSaysWho()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var heard = 0;
        using var line = _steps.Notifier.Listen(store.ProgrammeA, () => heard++);
        using var other = _steps.Notifier.Listen(store.ProgrammeB, () => heard += 100);

        (await _steps.AnswerAsync(store.LeadA, AlertSteps.Acknowledge, alert)).ShouldBeOfType<AnswerAlertsOutcome.Done>();

        var saved = await _steps.ReadAsync(alert);
        (saved.State, saved.AnswerBy, saved.BackOn).ShouldBe((AlertState.Acknowledged, null, null));
        var step = saved.Steps.ShouldHaveSingleItem();
        (step.What, step.Who, step.PersonId, step.At, step.On, step.Note).ShouldBe(
            (AlertStepKind.Acknowledged, store.LeadA.DisplayName, store.LeadA.PersonId, StoreFixture.NoonAt, null, null)
        );
        heard.ShouldBe(1);
    }

    [Theory]
    [InlineData(AlertAction.Rechecked, AlertStepKind.Rechecked)]
    [InlineData(AlertAction.ToldFamily, AlertStepKind.ToldFamily)]
    [InlineData(AlertAction.ToldPhysician, AlertStepKind.ToldPhysician)]
    [InlineData(AlertAction.Referred, AlertStepKind.Referred)]
    [InlineData(AlertAction.Other, AlertStepKind.Other)]
    public async Task ActedOn_Alert_KeepsWhatWhenAndTheNote(AlertAction action, AlertStepKind what)
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());

        (
            await _steps.AnswerAsync(store.LeadA, AlertSteps.Act(action, -1, " By telephone "), alert)
        ).ShouldBeOfType<AnswerAlertsOutcome.Done>();

        var saved = await _steps.ReadAsync(alert);
        (saved.State, saved.AnswerBy).ShouldBe((AlertState.ActedOn, null));
        var step = saved.Steps.ShouldHaveSingleItem();
        (step.What, step.On, step.Note).ShouldBe((what, StoreFixture.TodayOn.AddDays(-1), "By telephone"));
    }

    [Fact]
    public async Task SetAside_Alert_ComesBackOnItsDayAndNothingElseRemainsOfIt()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());

        (await _steps.AnswerAsync(store.LeadA, AlertSteps.SetAside(14), alert)).ShouldBeOfType<AnswerAlertsOutcome.Done>();
        var aside = await _steps.ReadAsync(alert);
        (aside.State, aside.AnswerBy, aside.BackOn).ShouldBe((AlertState.SetAside, null, StoreFixture.TodayOn.AddDays(14)));

        // Taken up again before its day.
        (await _steps.AnswerAsync(store.LeadA, AlertSteps.Acknowledge, aside)).ShouldBeOfType<AnswerAlertsOutcome.Done>();
        var taken = await _steps.ReadAsync(alert);
        (taken.State, taken.BackOn, taken.Steps.Count).ShouldBe((AlertState.Acknowledged, null, 2));
    }

    [Theory]
    [InlineData(Concern.SameDay, 8, "on")]
    [InlineData(Concern.Watch, 91, "on")]
    [InlineData(Concern.Watch, 0, "on")]
    public async Task SetAside_ForTooLongOrNotAtAll_IsRefusedAtItsFieldAndNothingIsSaved(Concern severity, int days, string field)
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync(), severity: severity);

        var outcome = await _steps.AnswerAsync(store.LeadA, AlertSteps.SetAside(days), alert);

        outcome.ShouldBeOfType<AnswerAlertsOutcome.Refused>().Refusals.Single().Field.ShouldBe(field);
        await ShouldBeUntouchedAsync(alert);
    }

    [Fact]
    public async Task Note_ThatDoesNotFit_IsRefused()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());

        var outcome = await _steps.AnswerAsync(store.LeadA, AlertSteps.Act(note: new string('x', TextLimits.Note + 1)), alert);

        outcome.ShouldBeOfType<AnswerAlertsOutcome.Refused>().Refusals.Single().Field.ShouldBe("note");
        await ShouldBeUntouchedAsync(alert);
    }

    [Fact]
    public async Task Closed_Alert_TakesNoAnswer()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync(), change: Close);

        foreach (var entry in new[] { AlertSteps.Acknowledge, AlertSteps.Act(), AlertSteps.SetAside() })
        {
            var outcome = await _steps.AnswerAsync(store.LeadA, entry, alert);
            outcome.ShouldBeOfType<AnswerAlertsOutcome.Refused>().Refusals.Single().Field.ShouldBe("answer");
        }
        (await _steps.ReadAsync(alert)).Steps.ShouldBeEmpty();
    }

    [Fact]
    public async Task Bulk_OfSeveralChildren_AnswersAllAndRecordsEach()
    {
        var lead = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead], "Berta Bulk");
        var (one, two) = (await _steps.AddChildAsync(), await _steps.AddChildAsync());
        Alert[] alerts =
        [
            await _steps.AddAsync(one),
            await _steps.AddAsync(one, AlertKind.OneSided, item: "atnr"),
            await _steps.AddAsync(two),
        ];

        (await _steps.AnswerAsync(lead, AlertSteps.Acknowledge, alerts)).ShouldBeOfType<AnswerAlertsOutcome.Done>();

        foreach (var alert in alerts)
        {
            (await _steps.ReadAsync(alert)).State.ShouldBe(AlertState.Acknowledged);
        }
        var entries = await _steps.EntriesOfAsync(lead);
        entries.Select(entry => entry.What).ShouldBe(Enumerable.Repeat("alert-acknowledged", 3));
        entries.Select(entry => entry.ChildId).Order().ShouldBe(alerts.Select(alert => (Guid?)alert.ChildId).Order());
        entries.ShouldAllBe(entry => !entry.Detail.Contains("Given"));
    }

    [Fact]
    public async Task Bulk_WithOneThatCannotBe_SavesNone()
    {
        var child = await _steps.AddChildAsync();
        var open = await _steps.AddAsync(child);
        var closed = await _steps.AddAsync(child, AlertKind.OneSided, change: Close);

        (await _steps.AnswerAsync(store.LeadA, AlertSteps.Acknowledge, open, closed)).ShouldBeOfType<AnswerAlertsOutcome.Refused>();

        await ShouldBeUntouchedAsync(open);
    }

    [Fact]
    public async Task Answer_TappedTwice_ChangesOnce()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var attemptId = StoreFixture.NewId();

        var outcomes = await Task.WhenAll(
            _steps.AnswerAsync(store.LeadA, attemptId, AlertSteps.Act(), alert),
            _steps.AnswerAsync(store.LeadA, attemptId, AlertSteps.Act(), alert)
        );
        var third = await _steps.AnswerAsync(store.LeadA, attemptId, AlertSteps.Act(), alert);

        outcomes.Append(third).ShouldAllBe(outcome => outcome is AnswerAlertsOutcome.Done);
        (await _steps.ReadAsync(alert)).Steps.Count.ShouldBe(1);
    }

    [Fact]
    public async Task Answer_OnTwoTablets_TellsTheSecondWhoWasFirstAndGoesThroughWithTheNewVersion()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var ines = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead], "Ines Abbott");
        await _steps.AnswerAsync(ines, AlertSteps.Acknowledge, alert);

        var outcome = await _steps.AnswerAsync(store.LeadA, AlertSteps.Act(), alert);

        var changed = outcome.ShouldBeOfType<AnswerAlertsOutcome.ChangedMeanwhile>().Alerts.ShouldHaveSingleItem();
        changed.Text.ShouldBe("Moro: still there past the usual age (acknowledged, by Ines Abbott)");
        var now = await _steps.ReadAsync(alert);
        (now.State, now.Steps.Count, now.RowVersion).ShouldBe((AlertState.Acknowledged, 1, changed.RowVersion));
        (await _steps.AnswerAsync(store.LeadA, AlertSteps.Act(), now)).ShouldBeOfType<AnswerAlertsOutcome.Done>();
        (await _steps.ReadAsync(alert)).State.ShouldBe(AlertState.ActedOn);
    }

    [Fact]
    public async Task Answer_OnTwoTabletsAtOnce_IsSavedForOneOfThem()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());

        var outcomes = await Task.WhenAll(
            Enumerable.Range(0, 4).Select(_ => _steps.AnswerAsync(store.LeadA, AlertSteps.Acknowledge, alert))
        );

        outcomes.Count(outcome => outcome is AnswerAlertsOutcome.Done).ShouldBe(1);
        outcomes.Count(outcome => outcome is AnswerAlertsOutcome.ChangedMeanwhile).ShouldBe(3);
        (await _steps.ReadAsync(alert)).Steps.Count.ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Clinician_OutsideTheReach_FindsNoAlertToAnswerAlsoInABulk()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);
        var own = await _steps.AddAsync(await _steps.AddChildAsync(clinician));
        var other = await _steps.AddAsync(await _steps.AddChildAsync());

        (await _steps.AnswerAsync(clinician, AlertSteps.Acknowledge, other)).ShouldBeOfType<AnswerAlertsOutcome.NotFound>();
        (await _steps.AnswerAsync(clinician, AlertSteps.Acknowledge, own, other)).ShouldBeOfType<AnswerAlertsOutcome.NotFound>();

        await ShouldBeUntouchedAsync(own);
        await ShouldBeUntouchedAsync(other);
        (await _steps.AnswerAsync(clinician, AlertSteps.Acknowledge, own)).ShouldBeOfType<AnswerAlertsOutcome.Done>();
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Observer_Always_ReadsAndAnswersNothing()
    {
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer]);
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());

        (await _steps.GetAsync(observer, alert.Id)).ShouldNotBeNull();
        await Should.ThrowAsync<AccessDeniedException>(() => _steps.AnswerAsync(observer, AlertSteps.Acknowledge, alert));
        await ShouldBeUntouchedAsync(alert);
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Rights_WithdrawnDuringTheSession_EndAtTheNextAnswer()
    {
        var lead = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead]);
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        await _steps.ListAsync(lead);
        await using (var context = store.ContextA())
        {
            (await context.People.SingleAsync(row => row.Id == lead.PersonId, Ct)).Roles = [Role.Observer];
            await context.SaveChangesAsync(Ct);
        }

        await Should.ThrowAsync<AccessDeniedException>(() => _steps.AnswerAsync(lead, AlertSteps.Acknowledge, alert));
        await ShouldBeUntouchedAsync(alert);
    }

    private async Task ShouldBeUntouchedAsync(Alert alert)
    {
        var now = await _steps.ReadAsync(alert);
        (now.State, now.RowVersion, now.Steps.Count).ShouldBe((alert.State, alert.RowVersion, 0));
    }

    private static void Close(Alert alert) =>
        (alert.State, alert.AnswerBy, alert.ClosedAt, alert.ClosedBecause) = (
            AlertState.Closed,
            null,
            StoreFixture.NoonAt.AddDays(-1),
            AlertEnd.NoLongerFound
        );
}
