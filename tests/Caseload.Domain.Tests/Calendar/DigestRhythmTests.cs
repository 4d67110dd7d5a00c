using System.Globalization;
using Caseload.Domain.Calendar;
using CsCheck;
using NodaTime;
using NodaTime.TimeZones;

namespace Caseload.Domain.Tests.Calendar;

/// <summary>
/// When the digest is due. Dates of clock changes are those of the IANA time zone database; what is expected is written by hand and checked
/// against NodaTime, which carries its own copy of that database and its own ISO weeks.
/// </summary>
public sealed class DigestRhythmTests
{
    private static readonly IsoDayOfWeek[] _nodaDays =
    [
        IsoDayOfWeek.Sunday,
        IsoDayOfWeek.Monday,
        IsoDayOfWeek.Tuesday,
        IsoDayOfWeek.Wednesday,
        IsoDayOfWeek.Thursday,
        IsoDayOfWeek.Friday,
        IsoDayOfWeek.Saturday,
    ];

    // Skipped: the first instant after the gap; twice: the first.
    private static readonly ZoneLocalMappingResolver _resolver = Resolvers.CreateMappingResolver(
        Resolvers.ReturnEarlier,
        Resolvers.ReturnStartOfIntervalAfter
    );

    private static readonly string[] _zones =
    [
        "America/Chicago",
        "America/Los_Angeles",
        "America/New_York",
        "America/St_Johns",
        "Asia/Kolkata",
        "Australia/Lord_Howe",
        "Europe/Berlin",
        "Europe/Dublin",
        "Pacific/Apia",
        "Pacific/Auckland",
        "Pacific/Kiritimati",
        "UTC",
    ];

    [Theory]
    // Monday at seven, before, at and after the moment.
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-11-23T05:59:59Z", "2026-11-16T06:00:00Z", "2026-11-16", "2026-W47")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-11-23T06:00:00Z", "2026-11-23T06:00:00Z", "2026-11-23", "2026-W48")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-11-29T23:59:59Z", "2026-11-23T06:00:00Z", "2026-11-23", "2026-W48")]
    // The Mondays around both changes of the clocks: 29 March and 25 October 2026 in Europe.
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-03-24T12:00:00Z", "2026-03-23T06:00:00Z", "2026-03-23", "2026-W13")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-03-30T05:00:00Z", "2026-03-30T05:00:00Z", "2026-03-30", "2026-W14")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-10-26T05:59:59Z", "2026-10-19T05:00:00Z", "2026-10-19", "2026-W43")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2026-10-26T06:00:00Z", "2026-10-26T06:00:00Z", "2026-10-26", "2026-W44")]
    // 8 March and 1 November 2026 in the United States.
    [InlineData("America/Los_Angeles", DayOfWeek.Monday, 7, "2026-03-09T14:00:00Z", "2026-03-09T14:00:00Z", "2026-03-09", "2026-W11")]
    [InlineData("America/Los_Angeles", DayOfWeek.Monday, 7, "2026-11-02T14:59:59Z", "2026-10-26T14:00:00Z", "2026-10-26", "2026-W44")]
    [InlineData("America/Los_Angeles", DayOfWeek.Monday, 7, "2026-11-02T15:00:00Z", "2026-11-02T15:00:00Z", "2026-11-02", "2026-W45")]
    // 02:00 on 8 March 2026 does not exist in New York: the first instant after the gap, 03:00 there.
    [InlineData("America/New_York", DayOfWeek.Sunday, 2, "2026-03-08T06:59:59Z", "2026-03-01T07:00:00Z", "2026-03-01", "2026-W09")]
    [InlineData("America/New_York", DayOfWeek.Sunday, 2, "2026-03-08T07:00:00Z", "2026-03-08T07:00:00Z", "2026-03-08", "2026-W10")]
    // 01:00 on 1 November 2026 comes twice there: the first.
    [InlineData("America/New_York", DayOfWeek.Sunday, 1, "2026-11-01T05:00:00Z", "2026-11-01T05:00:00Z", "2026-11-01", "2026-W44")]
    [InlineData("America/New_York", DayOfWeek.Sunday, 1, "2026-11-01T06:30:00Z", "2026-11-01T05:00:00Z", "2026-11-01", "2026-W44")]
    // Half an hour forward on 4 October 2026 and back on 5 April 2026, at two.
    [InlineData("Australia/Lord_Howe", DayOfWeek.Sunday, 2, "2026-10-03T15:30:00Z", "2026-10-03T15:30:00Z", "2026-10-04", "2026-W40")]
    [InlineData("Australia/Lord_Howe", DayOfWeek.Sunday, 1, "2026-04-04T14:00:00Z", "2026-04-04T14:00:00Z", "2026-04-05", "2026-W14")]
    [InlineData("Pacific/Auckland", DayOfWeek.Monday, 7, "2026-09-27T18:00:00Z", "2026-09-27T18:00:00Z", "2026-09-28", "2026-W40")]
    [InlineData("Pacific/Auckland", DayOfWeek.Monday, 7, "2026-04-05T19:00:00Z", "2026-04-05T19:00:00Z", "2026-04-06", "2026-W15")]
    [InlineData("Asia/Kolkata", DayOfWeek.Monday, 7, "2026-11-23T01:30:00Z", "2026-11-23T01:30:00Z", "2026-11-23", "2026-W48")]
    [InlineData("America/St_Johns", DayOfWeek.Monday, 7, "2026-11-23T10:30:00Z", "2026-11-23T10:30:00Z", "2026-11-23", "2026-W48")]
    // Until 2011 the clocks of St John's went back at 00:01, to the day before: midnight came twice, and counts once.
    [InlineData("America/St_Johns", DayOfWeek.Sunday, 0, "2010-11-07T03:15:00Z", "2010-11-07T02:30:00Z", "2010-11-07", "2010-W44")]
    [InlineData("Pacific/Kiritimati", DayOfWeek.Monday, 7, "2026-11-22T17:00:00Z", "2026-11-22T17:00:00Z", "2026-11-23", "2026-W48")]
    // Samoa left out Friday 30 December 2011.
    [InlineData("Pacific/Apia", DayOfWeek.Friday, 7, "2011-12-30T10:00:00Z", "2011-12-30T10:00:00Z", "2011-12-30", "2011-W52")]
    // The ends of years. 2020 and 2026 have a week 53 (they have 53 Thursdays; ISO 8601 counts a week to its Thursday's year).
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2020-12-31T12:00:00Z", "2020-12-28T06:00:00Z", "2020-12-28", "2020-W53")]
    [InlineData("Europe/Berlin", DayOfWeek.Sunday, 7, "2021-01-03T06:00:00Z", "2021-01-03T06:00:00Z", "2021-01-03", "2020-W53")]
    [InlineData("Europe/Berlin", DayOfWeek.Friday, 7, "2027-01-01T06:00:00Z", "2027-01-01T06:00:00Z", "2027-01-01", "2026-W53")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2027-01-04T06:00:00Z", "2027-01-04T06:00:00Z", "2027-01-04", "2027-W01")]
    [InlineData("Europe/Berlin", DayOfWeek.Monday, 7, "2024-12-30T06:00:00Z", "2024-12-30T06:00:00Z", "2024-12-30", "2025-W01")]
    public void NewestAt_WhenAsked_IsTheLastOneThatWasDue(
        string zone,
        DayOfWeek day,
        int hour,
        string at,
        string expectedAt,
        string expectedOn,
        string expectedWeek
    )
    {
        var rhythm = Rhythm(zone, day, hour);

        var newest = rhythm.NewestAt(At(at));

        newest.ShouldBe(new DigestWeek(Day.Of(expectedOn), At(expectedAt)));
        newest.Week.ShouldBe(expectedWeek);
        newest.At.ShouldBe(ByNodaTime(zone, newest.AsOfOn, hour));
        rhythm.Of(expectedWeek).ShouldBe(newest);
    }

    [Theory]
    // From the standard's own rule as ISO 8601 tables print it, from memory: years that begin on a Thursday, and leap years that begin on a
    // Wednesday, have 53 weeks.
    [InlineData(2015, 53)]
    [InlineData(2020, 53)]
    [InlineData(2026, 53)]
    [InlineData(2032, 53)]
    [InlineData(2024, 52)]
    [InlineData(2025, 52)]
    [InlineData(2027, 52)]
    public void Weeks_OfAYear_AreAsManyAsTheStandardSays(int year, int count)
    {
        var rhythm = Rhythm("UTC", DayOfWeek.Thursday, 7);

        var last = rhythm.Of($"{year}-W{count}");

        last.AsOfOn.Year.ShouldBe(year);
        rhythm.Before(last, -1).Week.ShouldBe($"{year + 1}-W01");
        if (count == 52)
        {
            Should.Throw<FormatException>(() => rhythm.Of($"{year}-W53"));
        }
    }

    [Theory]
    [InlineData("")]
    [InlineData("2026-W00")]
    [InlineData("2026-W54")]
    [InlineData("2026-48")]
    [InlineData("26-W48")]
    [InlineData("2026-W4")]
    [InlineData("0000-W01")]
    public void Of_WhenItIsNoWeek_Throws(string week) =>
        Should.Throw<FormatException>(() => Rhythm("UTC", DayOfWeek.Monday, 7).Of(week)).Message.ShouldContain("2026-W48");

    [Fact]
    public void Moments_OfRandomInstants_AreTheNewestAndNeitherMissedNorDoubled() =>
        Gen.Select(
                Gen.Int[0, _zones.Length - 1].Select(index => _zones[index]),
                Gen.Int[0, 6],
                Gen.Int[0, 23],
                Gen.Long[At("2009-01-01T00:00:00Z").ToUnixTimeSeconds(), At("2032-01-01T00:00:00Z").ToUnixTimeSeconds()]
            )
            .Sample(AssertNewest, iter: 4_000);

    [Fact]
    public void Moments_AroundEveryChangeOfTheClocks_AreTheNewest()
    {
        foreach (var zone in _zones)
        {
            var changes = DateTimeZoneProviders
                .Tzdb[zone]
                .GetZoneIntervals(Instant.FromUtc(2009, 1, 1, 0, 0), Instant.FromUtc(2032, 1, 1, 0, 0))
                .Where(interval => interval.HasStart && interval.Start > Instant.FromUtc(2009, 1, 1, 0, 0))
                .Select(interval => interval.Start.ToUnixTimeSeconds());
            foreach (var change in changes)
            {
                var on = TimeZoneInfo.ConvertTime(DateTimeOffset.FromUnixTimeSeconds(change), TimeZoneInfo.FindSystemTimeZoneById(zone));
                foreach (var hour in new[] { 0, 1, 2, 3, 23 })
                {
                    foreach (var seconds in new[] { -7200, -1, 0, 1, 1800, 3600, 7200 })
                    {
                        AssertNewest(zone, (int)on.DayOfWeek, hour, change + seconds);
                    }
                }
            }
        }
    }

    private static void AssertNewest(string zone, int day, int hour, long seconds)
    {
        var rhythm = Rhythm(zone, (DayOfWeek)day, hour);
        var at = DateTimeOffset.FromUnixTimeSeconds(seconds);

        var newest = rhythm.NewestAt(at);
        var next = rhythm.NextAfter(at);

        newest.At.ShouldBeLessThanOrEqualTo(at);
        next.At.ShouldBeGreaterThan(at);
        next.AsOfOn.ShouldBe(newest.AsOfOn.AddDays(7));
        newest.AsOfOn.DayOfWeek.ShouldBe((DayOfWeek)day);
        newest.At.ShouldBe(ByNodaTime(zone, newest.AsOfOn, hour));
        next.At.ShouldBe(ByNodaTime(zone, next.AsOfOn, hour));
        // Between two digests every instant has the same newest one, so that a period is found again and never twice.
        rhythm.NewestAt(next.At.AddTicks(-1)).ShouldBe(newest);
        rhythm.NewestAt(next.At).ShouldBe(next);
        rhythm.Of(newest.Week).ShouldBe(newest);
        newest.Week.ShouldBe(WeekByNodaTime(newest.AsOfOn));
    }

    private static DateTimeOffset ByNodaTime(string zone, DateOnly on, int hour) =>
        LocalDate
            .FromDateOnly(on)
            .At(new LocalTime(hour, 0))
            .InZone(DateTimeZoneProviders.Tzdb[zone], _resolver)
            .ToInstant()
            .ToDateTimeOffset();

    private static string WeekByNodaTime(DateOnly on)
    {
        var rule = NodaTime.Calendars.WeekYearRules.Iso;
        var date = LocalDate.FromDateOnly(on);
        date.DayOfWeek.ShouldBe(_nodaDays[(int)on.DayOfWeek]);
        return string.Create(CultureInfo.InvariantCulture, $"{rule.GetWeekYear(date):0000}-W{rule.GetWeekOfWeekYear(date):00}");
    }

    private static DigestRhythm Rhythm(string zone, DayOfWeek day, int hour) => new(TimeZoneInfo.FindSystemTimeZoneById(zone), day, hour);

    private static DateTimeOffset At(string text) => DateTimeOffset.Parse(text, CultureInfo.InvariantCulture);
}
