using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.VisitPlan;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.VisitCalendar;
using Ical.Net;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Team;

/// <summary>Planned visits: proposed, moved, shown in a calendar that another program reads.</summary>
public sealed class VisitPlanTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static readonly TimeZoneInfo _chicago = TimeZoneInfo.FindSystemTimeZoneById("America/Chicago");

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static DateOnly Today => StoreFixture.TodayOn;

    [Fact]
    public async Task Proposal_ForAClinician_MeetsEveryDueCheckOnWorkingDaysAndLeavesWhatIsFixed()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);
        var (one, other) = (await ChildAsync(clinician, "2026-08-20"), await ChildAsync(clinician, "2026-04-02"));
        (await SaveAsync(clinician, one, Today.AddDays(2))).ShouldBeEmpty();

        var proposed = (await ProposeAsync(clinician))!;
        var plan = await ListAsync(clinician);

        proposed.Gaps.ShouldBeEmpty();
        plan.Unmet.ShouldBeEmpty();
        plan.Visits.ShouldAllBe(visit => visit.On.DayOfWeek != DayOfWeek.Saturday && visit.On.DayOfWeek != DayOfWeek.Sunday);
        plan.Visits.ShouldContain(visit => visit.ChildId == one.Id && visit.On == Today.AddDays(2) && visit.IsFixed);
        plan.Visits.ShouldContain(visit => visit.ChildId == other.Id);
        var before = plan.Visits.Select(visit => (visit.ChildId, visit.On)).ToList();

        (await ProposeAsync(clinician)).ShouldNotBeNull();

        (await ListAsync(clinician)).Visits.Select(visit => (visit.ChildId, visit.On)).ShouldBe(before, ignoreOrder: true);
    }

    [Fact]
    public async Task Visit_MovedByHand_IsFixedAndKeepsItsIdentity()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);
        var child = await ChildAsync(clinician, "2026-08-20");
        await ProposeAsync(clinician);
        var visit = (await ListAsync(clinician)).Visits[0];

        (await SaveAsync(clinician, child, visit.On.AddDays(1), visit.Id, new TimeOnly(9, 30))).ShouldBeEmpty();
        (await SaveAsync(clinician, child, Today.AddDays(-1), visit.Id)).ShouldHaveSingleItem().Field.ShouldBe("on");
        (await SaveAsync(clinician, child, visit.On.AddDays(1))).ShouldHaveSingleItem().Message.ShouldContain("already");

        var moved = (await ListAsync(clinician)).Visits.Single(row => row.Id == visit.Id);
        (moved.On, moved.StartsAt, moved.IsFixed).ShouldBe((visit.On.AddDays(1), new TimeOnly(9, 30), true));
    }

    [Fact]
    public async Task Feed_OfAClinician_IsReadByAnotherProgramAndHoldsNoName()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);
        var child = await ChildAsync(clinician, "2026-08-20");
        await SaveAsync(clinician, child, Today.AddDays(5), startsAt: new TimeOnly(9, 30));
        await SaveAsync(clinician, child, Today.AddDays(6));
        var feeds = new CalendarFeeds(store.Db, store.Time);
        var secret = (await KeepAsync(clinician, true))!.Split('/')[^1];

        var text = (await feeds.ReadAsync(secret, Ct)).ShouldNotBeNull();
        var calendar = Calendar.Load(text)!;

        text.ShouldNotContain(child.FamilyName);
        text.ShouldNotContain(child.GivenName);
        calendar.Events.Count.ShouldBe(2);
        calendar.Events.ShouldAllBe(visit => visit.Summary == $"Visit {child.Code}");
        var timed = calendar.Events.Single(visit => visit.Start!.HasTime);
        // RFC 5545: an instant in UTC; half past nine in Chicago in winter is half past fifteen there.
        timed.Start!.AsUtc.ShouldBe(new DateTime(2026, 11, 30, 15, 30, 0, DateTimeKind.Utc));
        (timed.End!.AsUtc - timed.Start.AsUtc).ShouldBe(TimeSpan.FromMinutes(60));
        // An event of a whole day ends on the next day, which is not part of it (RFC 5545, 3.6.1).
        var whole = calendar.Events.Single(visit => !visit.Start!.HasTime);
        (DateOnly.FromDateTime(whole.Start!.Value), DateOnly.FromDateTime(whole.End!.Value)).ShouldBe((Today.AddDays(6), Today.AddDays(7)));
        (await feeds.ReadAsync(secret, Ct)).ShouldBe(text, "the same visits give the same text, so that a calendar need not read it again");
        foreach (var line in text.Split("\r\n"))
        {
            System.Text.Encoding.UTF8.GetByteCount(line).ShouldBeLessThanOrEqualTo(75, "RFC 5545, 3.1: lines are folded");
        }
    }

    [Fact]
    public void Feed_RoundTrip_GivesBackEveryVisit()
    {
        var random = new Random(11);
        var visits = Enumerable
            .Range(0, 200)
            .Select(_ => new CalendarVisit(
                Guid.CreateVersion7(StoreFixture.NoonAt),
                $"K-{random.Next(1000):000}",
                random.Next(3) == 0 ? null : "Old Town, north; \"corner\"",
                Today.AddDays(random.Next(400)),
                random.Next(2) == 0 ? null : new TimeOnly(random.Next(24), random.Next(60)),
                StoreFixture.NoonAt,
                random.Next(9)
            ))
            .ToList();

        var calendar = Calendar.Load(VisitCalendarText.Write(visits, _chicago, 45))!;

        var read = calendar.Events.ToDictionary(visit => visit.Uid!);
        read.Count.ShouldBe(visits.Count);
        foreach (var visit in visits)
        {
            var found = read[$"{visit.Id:N}@caseload"];
            (found.Summary, found.Location, found.Sequence).ShouldBe(($"Visit {visit.Code}", visit.Zone, visit.Revision));
            found.Start!.HasTime.ShouldBe(visit.StartsAt is not null);
        }
    }

    [Fact]
    public async Task Feed_TakenBackOrReplaced_AnswersNoMore()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician]);
        var feeds = new CalendarFeeds(store.Db, store.Time);
        var first = (await KeepAsync(clinician, true))!.Split('/')[^1];
        var second = (await KeepAsync(clinician, true))!.Split('/')[^1];

        (await feeds.ReadAsync(first, Ct)).ShouldBeNull();
        (await feeds.ReadAsync(second, Ct)).ShouldNotBeNull();
        (await feeds.ReadAsync("nothing", Ct)).ShouldBeNull();

        (await KeepAsync(clinician, false)).ShouldBeNull();
        (await feeds.ReadAsync(second, Ct)).ShouldBeNull();
        await using var context = store.ContextA();
        (await context.CalendarFeeds.AsNoTracking().Where(row => row.PersonId == clinician.PersonId).ToListAsync(Ct)).ShouldAllBe(row =>
            row.RevokedAt != null
        );
    }

    private async Task<Child> ChildAsync(Actor clinician, string bornOn)
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, bornOn);
        (child.ClinicianId, child.GivenName, child.FamilyName) = (clinician.ClinicianId, "Zephyrine", "Quillfeather");
        await store.Statuses.RewriteAsync(context, child.Id, Today, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    private Task<ProposedVisits?> ProposeAsync(Actor clinician) =>
        new ProposeVisitsHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            clinician,
            new ProposeVisits(clinician.ClinicianId!.Value),
            Ct
        );

    private Task<PlannedVisits> ListAsync(Actor clinician) =>
        new ListPlannedVisitsHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            clinician,
            new ListPlannedVisits(null, null),
            Ct
        );

    private Task<IReadOnlyList<Domain.Refusal>> SaveAsync(
        Actor clinician,
        Child child,
        DateOnly on,
        Guid? id = null,
        TimeOnly? startsAt = null
    ) =>
        new SavePlannedVisitHandler(store.Db, store.Time).HandleAsync(
            clinician,
            new SavePlannedVisit(id ?? StoreFixture.NewId(), child.Id, clinician.ClinicianId!.Value, on, startsAt),
            Ct
        );

    private Task<string?> KeepAsync(Actor clinician, bool isWanted) =>
        new KeepCalendarFeedHandler(store.Db, PublicAddress.Find("http://127.0.0.1:5000", HardenedSite.Settings()), store.Time).HandleAsync(
            clinician,
            new KeepCalendarFeed(isWanted),
            Ct
        );
}
