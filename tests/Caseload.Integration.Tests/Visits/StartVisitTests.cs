using Caseload.Data;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Visits;

public sealed class StartVisitTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private readonly VisitSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Start_WithDayAndClinician_OpensAVisitAndSaysSoInTheActivity()
    {
        var child = await _steps.AddChildAsync();
        var clinician = await _steps.AddClinicianAsync();
        var id = VisitSteps.NewId();

        var outcome = await StartAsync(new StartVisit(id, child.Id, StoreFixture.TodayOn, clinician.Id));

        outcome.ShouldBe(new StartVisitOutcome.Started(id));
        await using var context = store.ContextA();
        var visit = await context.Visits.SingleAsync(row => row.Id == id, Ct);
        visit.FinishedAt.ShouldBeNull();
        visit.ClinicianId.ShouldBe(clinician.Id);
        (await context.AccessEntries.Where(row => row.ChildId == child.Id).Select(row => row.What).ToListAsync(Ct)).ShouldBe([
            "visit-started",
        ]);
    }

    [Theory]
    [InlineData("2026-11-26", "visitedOn", "has not come yet")]
    [InlineData("2026-02-28", "visitedOn", "before the birth")]
    public async Task Start_OnAnImpossibleDay_IsRefusedAtTheDate(string on, string field, string message)
    {
        var child = await _steps.AddChildAsync();

        var outcome = await StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.Day(on), null));

        var refusal = outcome.ShouldBeOfType<StartVisitOutcome.Refused>().Refusals.ShouldHaveSingleItem();
        refusal.Field.ShouldBe(field);
        refusal.Message.ShouldContain(message);
    }

    [Fact]
    public async Task Start_OnEightTabletsAtOnce_OpensOneVisitAndLeadsAllToIt()
    {
        var child = await _steps.AddChildAsync();

        var outcomes = await Task.WhenAll(
            Enumerable.Range(0, 8).Select(_ => StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, null)))
        );

        var opened = outcomes.OfType<StartVisitOutcome.Started>().ShouldHaveSingleItem();
        outcomes.OfType<StartVisitOutcome.AlreadyOpen>().Count(outcome => outcome.VisitId == opened.VisitId).ShouldBe(7);
        await using var context = store.ContextA();
        (await context.Visits.CountAsync(visit => visit.ChildId == child.Id, Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task Start_AtNight_TakesTodayFromTheProgrammesZone()
    {
        var child = await _steps.AddChildAsync();
        _steps.Time.SetUtcNow(new DateTimeOffset(2026, 11, 26, 4, 0, 0, TimeSpan.Zero)); // 22:00 on the 25th in Chicago

        var outcome = await StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.Day("2026-11-26"), null));

        outcome.ShouldBeOfType<StartVisitOutcome.Refused>();
    }

    [Fact]
    public async Task Start_ForAClosedChild_IsRefused()
    {
        var child = await _steps.AddChildAsync(change: row =>
        {
            row.ClosedOn = StoreFixture.TodayOn;
            row.ClosingReason = "Moved away";
        });

        var outcome = await StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, null));

        outcome.ShouldBeOfType<StartVisitOutcome.Refused>().Refusals.ShouldHaveSingleItem().Field.ShouldBe("child");
    }

    [Fact]
    public async Task Start_WithAClinicianWhoLeft_IsRefused()
    {
        var child = await _steps.AddChildAsync();
        var clinician = await _steps.AddClinicianAsync(isActive: false);

        var outcome = await StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, clinician.Id));

        outcome.ShouldBeOfType<StartVisitOutcome.Refused>().Refusals.ShouldHaveSingleItem().Field.ShouldBe("clinician");
    }

    [Fact]
    public async Task Start_Twice_WithOneId_OpensOneVisit()
    {
        var child = await _steps.AddChildAsync();
        var request = new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, null);

        var outcomes = await Task.WhenAll(StartAsync(request), StartAsync(request));
        var third = await StartAsync(request);

        outcomes.Append(third).ShouldAllBe(outcome => outcome == new StartVisitOutcome.Started(request.VisitId));
        await using var context = store.ContextA();
        (await context.Visits.CountAsync(row => row.ChildId == child.Id, Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task Start_WhileAVisitIsOpen_LeadsToThatOne()
    {
        var child = await _steps.AddChildAsync();
        var openOn = StoreFixture.Day("2026-03-03");
        var open = await _steps.StartAsync(child, openOn);

        var outcome = await StartAsync(new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, null));

        outcome.ShouldBe(new StartVisitOutcome.AlreadyOpen(open, openOn));
        ((StartVisitOutcome.AlreadyOpen)outcome).Message.ShouldBe("There is an open visit from 3 Mar 2026: continue it.");
    }

    [Fact]
    public async Task Start_ForAChildOfAnotherProgramme_IsRefused()
    {
        var child = await _steps.AddChildAsync();
        var other = store.LeadB;

        var outcome = await _steps.Start.HandleAsync(other, new StartVisit(VisitSteps.NewId(), child.Id, StoreFixture.TodayOn, null), Ct);

        outcome.ShouldBeOfType<StartVisitOutcome.Refused>().Refusals.ShouldHaveSingleItem().Field.ShouldBe("child");
    }

    private Task<StartVisitOutcome> StartAsync(StartVisit request) => _steps.Start.HandleAsync(_steps.Actor, request, Ct);
}
