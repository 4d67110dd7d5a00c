using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Team;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Team;
using Caseload.Web.Platform.Team;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Team;

/// <summary>Children are given to clinicians from a day on, and the history says to whom and when.</summary>
public sealed class AssignmentTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static DateOnly Today => StoreFixture.TodayOn;

    [Fact]
    public async Task Child_GivenFromToday_ChangesHandsAndKeepsTheHistory()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var child = await ChildAsync();
        (await AssignAsync(one, Today.AddDays(-20), null, child)).ShouldBeEmpty();

        (await AssignAsync(other, Today, "Likes the blue ball.", child)).ShouldBeEmpty();

        (await ReadAsync(child)).ClinicianId.ShouldBe(other.ClinicianId);
        (await SpansAsync(child)).ShouldBe([
            (one.ClinicianId!.Value, Today.AddDays(-20), Today.AddDays(-1), null),
            (other.ClinicianId!.Value, Today, null, "Likes the blue ball."),
        ]);
    }

    [Fact]
    public async Task Child_GivenFromALaterDay_ChangesHandsWithThatDaysSweepAndTheAlertFollows()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-5), null, child);
        (await AssignAsync(other, Today.AddDays(3), null, child)).ShouldBeEmpty();
        (await ReadAsync(child)).ClinicianId.ShouldBe(one.ClinicianId);

        var clock = new AssignmentClock(store.Db, store.Statuses);
        (await clock.RunAsync(store.ProgrammeA, Today.AddDays(2), Ct)).ShouldBe(0);
        (await clock.RunAsync(store.ProgrammeA, Today.AddDays(3), Ct)).ShouldBe(1);
        (await clock.RunAsync(store.ProgrammeA, Today.AddDays(3), Ct)).ShouldBe(0);

        (await ReadAsync(child)).ClinicianId.ShouldBe(other.ClinicianId);
    }

    [Fact]
    public async Task Child_GivenToNobodyLater_WaitsFromThatDayOn()
    {
        var one = await ClinicianAsync();
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-5), null, child);
        (await AssignAsync(null, Today.AddDays(2), null, child)).ShouldBeEmpty();

        var clock = new AssignmentClock(store.Db, store.Statuses);
        (await clock.RunAsync(store.ProgrammeA, Today.AddDays(2), Ct)).ShouldBe(1);

        (await ReadAsync(child)).ClinicianId.ShouldBeNull();
        await using var context = store.ContextA();
        (
            await context.Alerts.CountAsync(row => row.ChildId == child.Id && row.Kind == AlertKind.Unassigned && row.ClosedAt == null, Ct)
        ).ShouldBe(1);
    }

    [Fact]
    public async Task PlanForLater_ReplacedByAnother_NeverHolds()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-5), null, child);
        await AssignAsync(other, Today.AddDays(3), null, child);

        // The lead thinks better of it: the child stays.
        (await AssignAsync(one, Today.AddDays(1), null, child)).ShouldBeEmpty();

        (await SpansAsync(child)).ShouldBe([(one.ClinicianId!.Value, Today.AddDays(-5), null, null)]);
        (await new AssignmentClock(store.Db, store.Statuses).RunAsync(store.ProgrammeA, Today.AddDays(9), Ct)).ShouldBe(0);
        (await ReadAsync(child)).ClinicianId.ShouldBe(one.ClinicianId);
    }

    [Fact]
    public async Task DayBeforeThePresentAssignment_IsRefusedAtTheField()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-5), null, child);

        var refusal = (await AssignAsync(other, Today.AddDays(-6), null, child)).ShouldHaveSingleItem();

        refusal.Field.ShouldBe("from");
        refusal.Message.ShouldContain("20 Nov 2026");
        (await ReadAsync(child)).ClinicianId.ShouldBe(one.ClinicianId);
    }

    [Fact]
    public async Task DayWithinAnAssignmentThatEnded_IsRefusedSoThatTheHistoryStays()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-20), null, child);
        await AssignAsync(null, Today.AddDays(-5), null, child);

        foreach (var fromOn in new[] { Today.AddDays(-20), Today.AddDays(-10), Today.AddDays(-6) })
        {
            (await AssignAsync(other, fromOn, null, child)).ShouldHaveSingleItem().Message.ShouldContain("through 19 Nov 2026");
        }
        (await AssignAsync(other, Today.AddYears(1).AddDays(1), null, child)).ShouldHaveSingleItem().Field.ShouldBe("from");
        (await AssignAsync(other, Today.AddDays(-5), null, child)).ShouldBeEmpty();

        (await SpansAsync(child)).ShouldBe([
            (one.ClinicianId!.Value, Today.AddDays(-20), Today.AddDays(-6), null),
            (other.ClinicianId!.Value, Today.AddDays(-5), null, null),
        ]);
    }

    [Fact]
    public async Task SeveralChildren_WithOneThatChangedMeanwhile_AreAllLeftAlone()
    {
        var (one, other) = (await ClinicianAsync(), await ClinicianAsync());
        var (first, second) = (await ChildAsync(), await ChildAsync());
        await AssignAsync(one, Today, null, second);

        // The lead's screen still shows the second child without a clinician.
        var refusals = await AssignAsync(
            new AssignChildren(
                StoreFixture.NewId(),
                [new ChosenChild(first.Id, null), new ChosenChild(second.Id, null)],
                Form(other, Today, null)
            )
        );

        refusals.ShouldHaveSingleItem().Field.ShouldBe("children");
        (await ReadAsync(first)).ClinicianId.ShouldBeNull();
        (await ReadAsync(second)).ClinicianId.ShouldBe(one.ClinicianId);
    }

    [Fact]
    public async Task SecondTap_OfTheSameAttempt_ChangesNothing()
    {
        var one = await ClinicianAsync();
        var child = await ChildAsync();
        var request = new AssignChildren(StoreFixture.NewId(), [new ChosenChild(child.Id, null)], Form(one, Today, null));
        (await AssignAsync(request)).ShouldBeEmpty();

        (await AssignAsync(request)).ShouldBeEmpty();

        (await SpansAsync(child)).Count.ShouldBe(1);
    }

    [Fact]
    public async Task Case_ClosedAndReopened_EndsAndBeginsAnAssignment()
    {
        var one = await ClinicianAsync();
        var child = await ChildAsync();
        await AssignAsync(one, Today.AddDays(-5), null, child);
        var closing = new CloseChildHandler(store.Db, store.Statuses, store.Time);

        (await closing.HandleAsync(store.LeadA, new CloseChild(child.Id, "Moved away"), Ct)).ShouldBeEmpty();
        (await SpansAsync(child)).Single().ThroughOn.ShouldBe(Today);
        (await closing.HandleAsync(store.LeadA, new CloseChild(child.Id, null), Ct)).ShouldBeEmpty();

        var spans = await SpansAsync(child);
        spans.Count(span => span.ThroughOn is null).ShouldBe(1);
        (await ReadAsync(child)).ClinicianId.ShouldBe(one.ClinicianId);
    }

    [Fact]
    public async Task Load_OfAClinician_IsTheSumOfItsPartsByHand()
    {
        var one = await ClinicianAsync();
        var child = await ChildAsync();
        await AssignAsync(one, Today, null, child);
        await using (var context = store.ContextA())
        {
            var row = await context.Children.SingleAsync(row => row.Id == child.Id, Ct);
            (row.VisitsInFourWeeks, row.Zone) = (4, "Lakes");
            (await context.Clinicians.SingleAsync(row => row.Id == one.ClinicianId, Ct)).Zones = ["Riverside"];
            await context.SaveChangesAsync(Ct);
        }

        var team = await new GetTeamHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            store.LeadA,
            new GetTeam(),
            Ct
        );

        var clinician = team.Clinicians.Single(row => row.Id == one.ClinicianId);
        var seen = team.Of(clinician.Id).ShouldHaveSingleItem();
        // Four visits of an hour, with twenty minutes of documentation and forty-five of travel to a zone that is not hers; twenty for talks.
        var visits = 4 * (60 + 20 + 45) + 20;
        seen.LoadWith(clinician, team.Policy).Minutes.ShouldBe(visits + (5 * seen.Work.DueChecks) + (5 * seen.Work.OpenAlerts.Count));
        seen.Work.OpenAlerts.ShouldAllBe(severity => severity == Domain.Interpretation.Concern.Watch);
        // Five days of seven and a half hours for four weeks, of which 65 per cent are left for children.
        clinician.CapacityMinutes.ShouldBe(5850);
    }

    private async Task<Actor> ClinicianAsync() => await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);

    private async Task<Child> ChildAsync()
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, "2026-08-01");
        await store.Statuses.RewriteAsync(context, child.Id, Today, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    private static AssignForm Form(Actor? clinician, DateOnly fromOn, string? handover) =>
        new()
        {
            ClinicianId = clinician?.ClinicianId,
            IsNobody = clinician is null,
            FromOn = fromOn,
            Handover = handover ?? "",
        };

    private async Task<IReadOnlyList<Refusal>> AssignAsync(Actor? clinician, DateOnly fromOn, string? handover, Child child) =>
        await AssignAsync(
            new AssignChildren(
                StoreFixture.NewId(),
                [new ChosenChild(child.Id, (await ReadAsync(child)).ClinicianId)],
                Form(clinician, fromOn, handover)
            )
        );

    private Task<IReadOnlyList<Refusal>> AssignAsync(AssignChildren request) =>
        new AssignChildrenHandler(store.Db, store.Statuses, store.Time).HandleAsync(store.LeadA, request, Ct);

    private async Task<Child> ReadAsync(Child child)
    {
        await using var context = store.ContextA();
        return await context.Children.AsNoTracking().SingleAsync(row => row.Id == child.Id, Ct);
    }

    private async Task<List<(Guid ClinicianId, DateOnly FromOn, DateOnly? ThroughOn, string? Handover)>> SpansAsync(Child child)
    {
        await using var context = store.ContextA();
        var rows = await context
            .Assignments.AsNoTracking()
            .Where(row => row.ChildId == child.Id)
            .OrderBy(row => row.FromOn)
            .ToListAsync(Ct);
        return [.. rows.Select(row => (row.ClinicianId, row.FromOn, row.ThroughOn, row.Handover))];
    }
}
