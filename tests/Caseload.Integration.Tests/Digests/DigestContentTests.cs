using System.Globalization;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Due;
using Caseload.Web.Platform.Digests;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Digests;

/// <summary>
/// What stands in a digest and what just does not. The Moro reflex of a child born at term usually goes by six months in the built-in set;
/// with the fourteen days of grace a check is missed, or a response persists, from the day after.
/// </summary>
public sealed class DigestContentTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static readonly DateTimeOffset _beforeAt = DigestSteps.At.AddDays(-7);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("2026-11-23", PersistingTrend.New)]
    [InlineData("2026-11-17", PersistingTrend.New)]
    [InlineData("2026-11-16", PersistingTrend.NotSeenAgain)]
    [InlineData("2026-11-24", null)]
    public async Task Persisting_SeenOnTheDay_IsInAndNewForAWeek(string seenOn, PersistingTrend? expected)
    {
        var steps = await DigestSteps.MakeAsync(store);
        var child = await steps.AddChildAsync("2026-03-01", moro: [(seenOn, Response.Typical)]);

        var content = await steps.ContentAsync();

        var lines = content.Persisting.Where(line => line.Item.Contains("Moro", StringComparison.Ordinal)).ToList();
        if (expected is null)
        {
            lines.ShouldBeEmpty();
            return;
        }
        // Born on 1 March, the deadline was 1 September: twelve weeks lie a day before 24 November, eleven whole ones before the 23rd.
        lines.ShouldHaveSingleItem();
        lines[0].ShouldBe(new DigestPersisting(child.Id, lines[0].Item, 2, StoreFixture.Day(seenOn), 11, expected.Value));
        content.Children.Single(row => row.Id == child.Id).Code.ShouldBe(child.Code);
    }

    [Theory]
    [InlineData("2026-11-17", Response.Brisk, PersistingTrend.Stronger)]
    [InlineData("2026-11-17", Response.Weak, PersistingTrend.Weaker)]
    [InlineData("2026-11-23", Response.Typical, PersistingTrend.Same)]
    [InlineData("2026-11-16", Response.Brisk, PersistingTrend.NotSeenAgain)]
    public async Task Persisting_LookedAtWithinTheWeek_SaysHowItWent(string lookedOn, Response response, PersistingTrend expected)
    {
        var steps = await DigestSteps.MakeAsync(store);
        await steps.AddChildAsync("2026-03-01", moro: [("2026-11-02", Response.Typical), (lookedOn, response)]);

        (await steps.ContentAsync()).Persisting.ShouldHaveSingleItem().Trend.ShouldBe(expected);
    }

    [Fact]
    public async Task Persisting_OfAClosedCaseOrCorrectedAway_IsOut()
    {
        var steps = await DigestSteps.MakeAsync(store);
        await steps.AddChildAsync("2026-03-01", moro: [("2026-11-20", Response.Typical)], change: child => Close(child, "2026-11-23"));
        var open = await steps.AddChildAsync(
            "2026-03-01",
            moro: [("2026-11-20", Response.Typical)],
            change: child => Close(child, "2026-11-24")
        );
        await steps.AddChildAsync(
            "2026-03-01",
            add: (context, child) =>
            {
                var wrong = StoreFixture.AddFinding(context, child, "moro", StoreFixture.Day("2026-11-20"), Response.Typical);
                // Corrected to a day that is still to come: the earlier entry no longer stands either.
                StoreFixture.AddFinding(context, child, "moro", StoreFixture.Day("2026-11-25"), Response.Typical, corrects: wrong.Id);
            }
        );

        (await steps.ContentAsync()).Persisting.ShouldHaveSingleItem().ChildId.ShouldBe(open.Id);
    }

    [Fact]
    public async Task Alerts_RaisedOrClosedSinceTheLastDigest_AreInOnce()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var tick = TimeSpan.FromSeconds(1);
        var raisedJustBefore = await steps.AddChildAsync("2026-08-01");
        var raisedJustAfter = await steps.AddChildAsync("2026-08-01");
        var raisedAtTheMoment = await steps.AddChildAsync("2026-08-01");
        var raisedTooLate = await steps.AddChildAsync("2026-08-01");
        var closedJustBefore = await steps.AddChildAsync("2026-08-01");
        var closedJustAfter = await steps.AddChildAsync("2026-08-01");
        var caseClosed = await steps.AddChildAsync("2026-08-01", change: child => Close(child, "2026-11-20"));
        await steps.AddAlertAsync(raisedJustBefore, _beforeAt);
        await steps.AddAlertAsync(raisedJustAfter, _beforeAt + tick);
        await steps.AddAlertAsync(raisedAtTheMoment, DigestSteps.At);
        await steps.AddAlertAsync(raisedTooLate, DigestSteps.At + tick);
        await steps.AddAlertAsync(closedJustBefore, _beforeAt.AddDays(-30), _beforeAt);
        await steps.AddAlertAsync(closedJustAfter, _beforeAt.AddDays(-30), _beforeAt + tick);
        await steps.AddAlertAsync(caseClosed, _beforeAt + tick, DigestSteps.At);

        var content = await steps.ContentAsync();
        var next = await steps.ContentAsync("2026-W49");

        Ids(content.NewAlerts).ShouldBe([raisedJustAfter.Id, raisedAtTheMoment.Id], ignoreOrder: true);
        Ids(content.ClosedAlerts).ShouldBe([closedJustAfter.Id, caseClosed.Id], ignoreOrder: true);
        Ids(next.NewAlerts).ShouldBe([raisedTooLate.Id]);
        next.ClosedAlerts.ShouldBeEmpty();
        content.NewAlerts.ShouldAllBe(line => line.Title.Contains("Moro") && line.Because == null);
        content
            .Team!.Clinicians.ShouldHaveSingleItem()
            .Alerts.ShouldBe([new DigestAlertCount(Concern.Act, 3)], "three are open at the moment of the digest");
    }

    [Theory]
    [InlineData("2026-05-08", true)]
    [InlineData("2026-05-09", false)]
    public async Task DeadlinePassed_OnTheFirstDayAfterTheGrace_IsIn(string bornOn, bool isIn)
    {
        var steps = await DigestSteps.MakeAsync(store);
        await steps.AddChildAsync(bornOn);

        var content = await steps.ContentAsync();

        content.DeadlinesPassed.Any(line => line.Item.Contains("Moro", StringComparison.Ordinal) && line.WeeksPast == 2).ShouldBe(isIn);
    }

    [Theory]
    [InlineData("2026-10-25", true)]
    [InlineData("2026-10-26", false)]
    public async Task SecondLook_ADayAfterItsLastDay_IsIn(string absentOn, bool isIn)
    {
        var steps = await DigestSteps.MakeAsync(store);
        var child = await steps.AddChildAsync("2026-05-25", moro: [(absentOn, Response.Absent)]);

        var content = await steps.ContentAsync();

        content.SecondLooksOverdue.Select(line => line.ChildId).ShouldBe(isIn ? [child.Id] : []);
        if (isIn)
        {
            content.SecondLooksOverdue[0].ThroughOn.ShouldBe(DigestSteps.AsOfOn.AddDays(-1));
        }
    }

    [Fact]
    public async Task Due_UpToTheDayOfTheNextDigest_IsInByChild()
    {
        var steps = await DigestSteps.MakeAsync(store);
        // Second looks may be done from seven and until 28 days after the first absence.
        var lastDay = await steps.AddChildAsync("2026-05-25", moro: [("2026-11-02", Response.Absent)]);
        var dayLater = await steps.AddChildAsync("2026-05-25", moro: [("2026-11-03", Response.Absent)]);
        var ruledOut = await steps.AddChildAsync(
            "2026-05-25",
            moro: [("2026-11-02", Response.Absent)],
            add: (context, child) =>
                context.Add(
                    new RecordedExclusion
                    {
                        ProgrammeId = context.ProgrammeId,
                        Id = StoreFixture.NewId(),
                        ChildId = child.Id,
                        Exclusion = ReferenceSets.Default.Find("moro")!.ExcludedBy[0].Exclusion,
                        FromOn = DigestSteps.AsOfOn,
                        ThroughOn = DigestSteps.AsOfOn,
                    }
                )
        );

        var content = await steps.ContentAsync();

        var moro = content
            .Due.SelectMany(line => line.Checks.Select(check => (line.ChildId, check)))
            .Where(pair => pair.check.Item.Contains("Moro", StringComparison.Ordinal))
            .ToList();
        moro.ShouldHaveSingleItem().ChildId.ShouldBe(lastDay.Id);
        (moro[0].check.Purpose, moro[0].check.ThroughOn, moro[0].check.IsOverdue).ShouldBe(
            (CheckPurpose.Confirm, DigestSteps.AsOfOn.AddDays(7), false)
        );
        content
            .Due.Single(line => line.ChildId == dayLater.Id)
            .MoreCount.ShouldBe(content.Due.Single(line => line.ChildId == lastDay.Id).MoreCount + 1);
        content.Due.ShouldContain(line => line.ChildId == ruledOut.Id, "its other checks are due");
    }

    [Fact]
    public async Task Due_Always_IsWhatTheDuePageSays()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var lead = await steps.AddPersonAsync([Role.TeamLead]);
        foreach (var bornOn in new[] { "2026-11-20", "2026-10-01", "2026-07-04", "2026-05-25", "2026-02-10", "2025-11-01" })
        {
            var child = await steps.AddChildAsync(bornOn, moro: [("2026-11-21", Response.Weak)]);
            await using var context = steps.Open();
            await store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
            await context.SaveChangesAsync(Ct);
        }
        // The store's clock shows Wednesday; a digest of Wednesdays has that day.
        steps.Policy = AlertPolicy.Default with
        {
            DigestDay = DayOfWeek.Wednesday,
        };
        var handler = new ListDueChildrenHandler(store.Db, store.Statuses, store.Library, store.Time);

        var page = await handler.HandleAsync(lead, new ListDueChildren(7, null), Ct);
        var content = await steps.ContentAsync();

        content.AsOfOn.ShouldBe(page.TodayOn);
        var throughOn = page.TodayOn.AddDays(7);
        var shown = page
            .Children.SelectMany(child =>
                child.Lines.Select(line => (child.Id, line.ItemName, line.Purpose, line.ThroughOn, line.IsOverdue))
            )
            .Where(line => line.ThroughOn <= throughOn);
        var said = content.Due.SelectMany(child =>
            child.Checks.Select(check => (child.ChildId, check.Item, check.Purpose, check.ThroughOn, check.IsOverdue))
        );
        said.Count().ShouldBeGreaterThan(20);
        said.ShouldBe(shown, ignoreOrder: true);
        content
            .Due.Sum(child => child.MoreCount)
            .ShouldBe(
                page.Children.Where(child => content.Due.Any(line => line.ChildId == child.Id))
                    .Sum(child => child.Lines.Count(line => line.ThroughOn > throughOn))
            );
    }

    [Theory]
    [InlineData("2026-11-16", false)]
    [InlineData("2026-11-17", true)]
    [InlineData("2026-11-23", true)]
    [InlineData("2026-11-24", false)]
    public async Task Integrated_WithinTheWeek_IsInForOpenAndClosedCases(string confirmedOn, bool isIn)
    {
        var steps = await DigestSteps.MakeAsync(store);
        (string, Response)[] moro = [("2026-10-20", Response.Absent), (confirmedOn, Response.Absent)];
        var open = await steps.AddChildAsync("2026-05-25", moro: moro);
        var closed = await steps.AddChildAsync("2026-05-25", moro: moro, change: child => Close(child, confirmedOn));

        var content = await steps.ContentAsync();

        content.Integrated.Select(line => line.ChildId).ShouldBe(isIn ? [open.Id, closed.Id] : [], ignoreOrder: true);
        content.Integrated.ShouldAllBe(line => line.SinceOn == StoreFixture.Day(confirmedOn));
    }

    [Fact]
    public async Task NotVisited_ADayAfterEightWeeks_IsIn()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var eightWeeks = DigestSteps.AsOfOn.AddDays(-56);
        await Visited(eightWeeks);
        var longer = await Visited(eightWeeks.AddDays(-1));
        var never = await steps.AddChildAsync("2026-01-05", change: child => child.EnrolledOn = eightWeeks.AddDays(-1));
        await steps.AddChildAsync("2026-01-05", change: child => child.EnrolledOn = eightWeeks);
        await steps.AddChildAsync("2026-01-05", change: child => Close(child, "2026-11-20"));

        var content = await steps.ContentAsync();

        content.NotVisited.Select(line => line.ChildId).ShouldBe([longer.Id, never.Id], ignoreOrder: true);
        content.NotVisited.Single(line => line.ChildId == longer.Id).LastVisitOn.ShouldBe(eightWeeks.AddDays(-1));
        content.NotVisited.Single(line => line.ChildId == never.Id).ShouldBe(new DigestNotVisited(never.Id, null, 8));

        Task<Child> Visited(DateOnly on) =>
            steps.AddChildAsync(
                "2026-01-05",
                moro: [(on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), Response.Absent), ("2026-11-24", Response.Absent)]
            );
    }

    [Fact]
    public async Task WithoutClinician_WhenEnrolledAndOpen_IsIn()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var clinician = await steps.AddPersonAsync([Role.Clinician]);
        var without = await steps.AddChildAsync("2026-08-01");
        await steps.AddChildAsync("2026-08-01", clinician.ClinicianId);
        await steps.AddChildAsync("2026-08-01", change: child => child.EnrolledOn = DigestSteps.AsOfOn.AddDays(1));
        await steps.AddChildAsync("2026-08-01", change: child => Close(child, "2026-11-23"));

        (await steps.ContentAsync()).WithoutClinician.ShouldBe([without.Id]);
    }

    [Theory]
    [InlineData("2026-11-23", "2026-11-30", true)]
    [InlineData("2026-11-01", "2026-11-23", true)]
    [InlineData("2026-11-24", "2026-11-30", false)]
    [InlineData("2026-11-01", "2026-11-22", false)]
    public async Task Clinician_CoveringOnTheDay_GetsTheOtherChildrenAsWell(string fromOn, string throughOn, bool isIn)
    {
        var steps = await DigestSteps.MakeAsync(store);
        var own = await steps.AddPersonAsync([Role.Clinician], initials: "OW");
        var away = await steps.AddPersonAsync([Role.Clinician], initials: "AW");
        var other = await steps.AddPersonAsync([Role.Clinician], initials: "OT");
        var ownChild = await steps.AddChildAsync("2026-03-01", own.ClinicianId, [("2026-11-20", Response.Typical)]);
        var awayChild = await steps.AddChildAsync("2026-03-01", away.ClinicianId, [("2026-11-20", Response.Typical)]);
        await steps.AddChildAsync("2026-03-01", other.ClinicianId, [("2026-11-20", Response.Typical)]);
        await steps.AddChildAsync("2026-03-01", null, [("2026-11-20", Response.Typical)]);
        await using (var context = steps.Open())
        {
            context.Add(
                new Cover
                {
                    ProgrammeId = steps.ProgrammeId,
                    Id = StoreFixture.NewId(),
                    AbsentClinicianId = away.ClinicianId!.Value,
                    CoveringClinicianId = own.ClinicianId!.Value,
                    FromOn = StoreFixture.Day(fromOn),
                    ThroughOn = StoreFixture.Day(throughOn),
                }
            );
            await context.SaveChangesAsync(Ct);
        }

        var reading = await steps.ReadAsync();
        var content = reading.ForClinician(own.ClinicianId!.Value);

        content.Persisting.Select(line => line.ChildId).ShouldBe(isIn ? [ownChild.Id, awayChild.Id] : [ownChild.Id], ignoreOrder: true);
        content.Children.Single(child => child.Id == ownChild.Id).Clinician.ShouldBeNull();
        content.Children.SingleOrDefault(child => child.Id == awayChild.Id)?.Clinician.ShouldBe("AW");
        content.ChildCount.ShouldBe(isIn ? 2 : 1);
        content.Team.ShouldBeNull();
        reading.ForClinician(away.ClinicianId!.Value).Persisting.ShouldHaveSingleItem().ChildId.ShouldBe(awayChild.Id);
    }

    [Fact]
    public async Task Initials_WhenThePolicyLetsThem_StandBesideTheCode()
    {
        var steps = await DigestSteps.MakeAsync(store);
        await steps.AddChildAsync("2026-08-01");

        var plain = await steps.ContentAsync();
        steps.Policy = AlertPolicy.Default with { MailNaming = MailNaming.CodeAndInitials };
        var withInitials = await steps.ContentAsync();

        plain.Children.ShouldHaveSingleItem().Name.ShouldBe(plain.Children[0].Code);
        withInitials.Children.ShouldHaveSingleItem().Name.ShouldBe($"{plain.Children[0].Code} (Z.Q.)");
    }

    [Fact]
    public async Task Team_Totals_AddUpAndTellClinicianFromClinician()
    {
        var steps = await DigestSteps.MakeAsync(store);
        var one = await steps.AddPersonAsync([Role.Clinician], initials: "AB");
        var two = await steps.AddPersonAsync([Role.Clinician], initials: "AB");
        await steps.AddPersonAsync([Role.Clinician], initials: "NN");
        await steps.AddChildAsync("2026-03-01", one.ClinicianId, [("2026-11-20", Response.Typical)]);
        await steps.AddChildAsync("2026-09-20", one.ClinicianId);
        var second = await steps.AddChildAsync("2026-03-01", two.ClinicianId, [("2026-11-20", Response.Absent)]);
        await steps.AddChildAsync("2026-03-01", null, [("2026-11-20", Response.Typical)]);
        await steps.AddAlertAsync(second, DigestSteps.At.AddDays(-30));

        var team = (await steps.ContentAsync()).Team!;

        team.Clinicians.Select(totals => (totals.ClinicianId, totals.Children, totals.Persisting))
            .ShouldBe([(one.ClinicianId, 2, 1), (two.ClinicianId, 1, 0), (null, 1, 1)], ignoreOrder: true);
        team.Clinicians.Select(totals => totals.Clinician).ShouldBe(["AB", "AB 2", ""]);
        team.Clinicians.Single(totals => totals.ClinicianId == two.ClinicianId).Alerts.ShouldBe([new DigestAlertCount(Concern.Act, 1)]);
        team.Trend.Count.ShouldBe(12);
        (team.Trend[0].Week, team.Trend[^1].Week).ShouldBe(("2026-W37", "2026-W48"));
        for (var week = 0; week < 12; week++)
        {
            team.Trend[week].Persisting.ShouldBe(team.Clinicians.Sum(totals => totals.Trend[week].Persisting));
            team.Trend[week].Overdue.ShouldBe(team.Clinicians.Sum(totals => totals.Trend[week].Overdue));
        }
    }

    [Fact]
    public async Task Trend_OfTwelveWeeks_IsCountedAnewForEachDigestDay()
    {
        var steps = await DigestSteps.MakeAsync(store);
        // Persists from Monday 5 October (week 41), on the digest's day itself.
        await steps.AddChildAsync("2026-03-01", moro: [("2026-10-05", Response.Typical)]);
        // From Tuesday 6 October, so from week 42; the case closed on Monday 2 November (week 45).
        await steps.AddChildAsync("2026-03-01", moro: [("2026-10-06", Response.Typical)], change: child => Close(child, "2026-11-02"));
        // Persisted before, counted from enrolment on Monday 9 November (week 46).
        await steps.AddChildAsync(
            "2026-01-05",
            moro: [("2026-09-01", Response.Typical)],
            change: child => child.EnrolledOn = StoreFixture.Day("2026-11-09")
        );

        var trend = (await steps.ContentAsync()).Team!.Trend;

        // Weeks 37 to 48.
        trend.Select(point => point.Persisting).ShouldBe([0, 0, 0, 0, 1, 2, 2, 2, 1, 2, 2, 2]);
    }

    [Fact]
    public async Task Trend_OnItsLastDay_EqualsTheStatusRowsOfThatDay()
    {
        var steps = await DigestSteps.MakeAsync(store);
        foreach (var bornOn in new[] { "2026-10-20", "2026-08-01", "2026-05-25", "2026-03-01", "2025-12-15" })
        {
            var child = await steps.AddChildAsync(bornOn, moro: [("2026-11-10", Response.Typical)]);
            await using var context = steps.Open();
            await store.Statuses.RewriteAsync(context, child.Id, DigestSteps.AsOfOn, Ct);
            await context.SaveChangesAsync(Ct);
        }

        var last = (await steps.ContentAsync()).Team!.Trend[^1];

        await using var reader = steps.Open();
        last.Persisting.ShouldBe(await reader.ItemStatuses.CountAsync(row => row.State == ItemState.Persisting, Ct));
        last.Overdue.ShouldBe(await reader.ItemStatuses.CountAsync(row => row.CheckThroughOn < DigestSteps.AsOfOn, Ct));
        last.Overdue.ShouldBeGreaterThan(10);
    }

    private static IEnumerable<Guid> Ids(IEnumerable<DigestAlert> alerts) => alerts.Select(line => line.ChildId);

    private static void Close(Child child, string on) => (child.ClosedOn, child.ClosingReason) = (StoreFixture.Day(on), "moved away");
}
