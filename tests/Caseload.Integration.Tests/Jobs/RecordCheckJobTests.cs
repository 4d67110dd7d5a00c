using System.Globalization;
using Caseload.Data;
using Caseload.Domain.Policy;
using Caseload.Web.Platform.Jobs;
using Microsoft.Extensions.Logging.Abstractions;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>When the nightly check is due: two in the morning by the programme's own clocks.</summary>
public sealed class RecordCheckJobTests
{
    // Only asked when, never run.
    private static readonly RecordCheckJob _job = new(null!, TimeProvider.System, NullLogger<RecordCheckJob>.Instance);

    [Theory]
    [InlineData("America/Chicago", "2026-11-25T07:59:59Z", "2026-11-24", "2026-11-25T08:00:00Z")]
    [InlineData("America/Chicago", "2026-11-25T08:00:00Z", "2026-11-25", "2026-11-26T08:00:00Z")]
    [InlineData("Europe/Dublin", "2026-11-25T02:00:00Z", "2026-11-25", "2026-11-26T02:00:00Z")]
    [InlineData("Asia/Kolkata", "2026-11-25T20:29:00Z", "2026-11-25", "2026-11-25T20:30:00Z")]
    [InlineData("Pacific/Auckland", "2026-11-25T13:00:00Z", "2026-11-26", "2026-11-26T13:00:00Z")]
    // The clocks go forward: there is no two o'clock in Chicago that night, and three is the moment after one fifty-nine.
    [InlineData("America/Chicago", "2026-03-08T07:59:59Z", "2026-03-07", "2026-03-08T08:00:00Z")]
    [InlineData("America/Chicago", "2026-03-08T08:00:00Z", "2026-03-08", "2026-03-09T07:00:00Z")]
    // They go back in Lord Howe by half an hour, from two to half past one.
    [InlineData("Australia/Lord_Howe", "2026-04-04T15:29:59Z", "2026-04-04", "2026-04-04T15:30:00Z")]
    public void Night_InAZone_IsTheProgrammesOwn(string zone, string at, string period, string nextAt)
    {
        var programme = new ProgrammeRow(Guid.Empty, "Programme", zone, AlertPolicy.Default);
        var now = DateTimeOffset.Parse(at, CultureInfo.InvariantCulture);

        _job.DuePeriod(programme, now).ShouldBe(period);
        _job.NextDueAt(programme, now).ShouldBe(DateTimeOffset.Parse(nextAt, CultureInfo.InvariantCulture));
    }

    [Fact]
    public void Hour_ThatComesTwice_IsTheFirst()
    {
        var programme = new ProgrammeRow(Guid.Empty, "Programme", "America/Chicago", AlertPolicy.Default);

        ProgrammeClock
            .At(programme, new DateOnly(2026, 11, 1), new TimeOnly(1, 30))
            .ShouldBe(new DateTimeOffset(2026, 11, 1, 6, 30, 0, TimeSpan.Zero));
    }
}
