using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Record;

namespace Caseload.Integration.Tests.Record;

[Trait("Requirement", "SEC-40")]
public sealed class ExamineRecordTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static readonly DateOnly _on = StoreFixture.Day("2026-11-10");

    private readonly RecordSteps _steps = new(store);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Opening_AtNightByTheProgrammesClocks_IsReported()
    {
        // In October the programme's clocks are five hours behind UTC: these are 21:59, 22:00, 05:59 and 06:00.
        var child = await _steps.AddChildAsync();
        var who = await _steps.AddAsync(Role.Observer);
        await using (var context = await store.Db.EnterAsync(who, Permission.ReadChildren, Ct))
        {
            foreach (var time in new[] { "02:59", "03:00", "10:59", "11:00" })
            {
                context.Record("child-opened", child.Id, DateTimeOffset.Parse($"2026-10-20T{time}Z", CultureInfo.InvariantCulture));
            }
            context.Record("child-edited", child.Id, new DateTimeOffset(2026, 10, 20, 5, 0, 0, TimeSpan.Zero));
            await context.SaveChangesAsync(Ct);
        }

        var night = Of(await ExamineAsync(StoreFixture.Day("2026-10-19"), StoreFixture.Day("2026-10-20")), UnusualKind.AtNight);

        night.Rows.Select(row => row.At.ToString("HH:mm", CultureInfo.InvariantCulture)).ShouldBe(["05:59", "22:00"]);
    }

    [Theory]
    [InlineData(20, 2, 0)]
    [InlineData(21, 2, 1)]
    [InlineData(21, 3, 0)]
    [InlineData(45, 1, 1)]
    public async Task ManyChildren_WithinAnHour_AreReportedOnce(int count, int minutesBetween, int reported)
    {
        var who = await _steps.AddAsync(Role.Observer);
        var on = _on.AddDays(-count - minutesBetween * 50);
        await using (var context = await store.Db.EnterAsync(who, Permission.ReadChildren, Ct))
        {
            var at = new DateTimeOffset(on.ToDateTime(new TimeOnly(16, 40)), TimeSpan.Zero);
            for (var index = 0; index < count; index++)
            {
                var childId = StoreFixture.NewId();
                context.Record("child-opened", childId, at.AddMinutes(index * minutesBetween));
                context.Record("visit-opened", childId, at.AddMinutes(index * minutesBetween));
            }
            await context.SaveChangesAsync(Ct);
        }

        var many = Of(await ExamineAsync(on, on), UnusualKind.ManyChildren);

        many.Count.ShouldBe(reported);
        many.Rows.Select(row => row.What).ShouldBe(Enumerable.Repeat("Opened 21 different children within an hour", reported));
    }

    [Fact]
    public async Task ReasonsDenialsAndFailedSignIns_AreCountedAndListed()
    {
        var clinician = await store.AddPersonAsync(store.ProgrammeA, [Role.Clinician], "Remy Reason");
        var child = await _steps.AddChildAsync();
        await _steps.ReachAsync(clinician, child.Code);
        await _steps.OpenAsync(clinician, child.Id);
        await _steps.ReachAsync(clinician, "K-999999");
        await Should.ThrowAsync<AccessDeniedException>(() => store.Db.EnterAsync(clinician, Permission.ManagePeople, Ct));
        await using (var knocking = store.Db.ForAccount(store.ProgrammeA, clinician.PersonId, "Remy Reason", "198.51.100.7"))
        {
            knocking.Record("sign-in-failed", null, store.Time.GetUtcNow());
            await knocking.SaveChangesAsync(Ct);
        }

        var report = await ExamineAsync(StoreFixture.TodayOn, StoreFixture.TodayOn);

        Rows(UnusualKind.ByReason).ShouldBe([("Opened the child's record", child.Code, "192.0.2.1")]);
        Rows(UnusualKind.Denied)
            .ShouldBe([("Was not allowed: manage people", null, "192.0.2.1"), ("Entered a code that opened nothing", null, "192.0.2.1")]);
        Rows(UnusualKind.FailedSignIn).ShouldBe([("Failed to sign in", null, "198.51.100.7")]);

        IEnumerable<(string, string?, string?)> Rows(UnusualKind kind) =>
            Of(report, kind).Rows.Where(row => row.Who == "Remy Reason").Select(row => (row.What, row.ChildCode, row.Address));
    }

    [Fact]
    public async Task SignOff_IsAnEntryOfTheRecord_AndTheLastOneIsShown()
    {
        var auditor = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Ada Auditor");
        var handler = new SignOffRecordHandler(store.Db, store.Time);

        (await handler.HandleAsync(auditor, new SignOffRecord(_on, _on.AddDays(-1)), Ct)).ShouldHaveSingleItem();
        (await handler.HandleAsync(auditor, new SignOffRecord(_on, StoreFixture.TodayOn.AddDays(1)), Ct)).ShouldHaveSingleItem();
        (await handler.HandleAsync(auditor, new SignOffRecord(_on, StoreFixture.TodayOn), Ct)).ShouldBeEmpty();

        var report = await ExamineAsync(_on, _on);
        report.LastSignOff.ShouldBe(new SignOff(StoreFixture.TodayOn, "Ada Auditor", _on, StoreFixture.TodayOn));
        (await _steps.EntriesOfAsync(auditor)).ShouldHaveSingleItem().What.ShouldBe("record-examined");
    }

    [Fact]
    public async Task Report_OfAQuietSpan_SaysSoForEveryKind()
    {
        var report = await ExamineAsync(StoreFixture.Day("2020-01-01"), StoreFixture.Day("2020-01-31"));

        report.Groups.Select(group => (group.Kind, group.Count)).ShouldBe(Enum.GetValues<UnusualKind>().Select(kind => (kind, 0)));
    }

    private Task<UnusualAccess> ExamineAsync(DateOnly from, DateOnly through) =>
        new ExamineRecordHandler(store.Db, store.Time).HandleAsync(store.LeadA, new ExamineRecord(from, through), Ct);

    private static UnusualGroup Of(UnusualAccess report, UnusualKind kind) => report.Groups.Single(group => group.Kind == kind);
}
