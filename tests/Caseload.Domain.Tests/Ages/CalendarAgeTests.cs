using Caseload.Domain.Ages;
using CsCheck;
using NodaTime;

namespace Caseload.Domain.Tests.Ages;

public sealed class CalendarAgeTests
{
    private static readonly Gen<(DateOnly Anchor, DateOnly On)> Spans =
        from anchorDay in Gen.Int[new DateOnly(1990, 1, 1).DayNumber, new DateOnly(2050, 12, 31).DayNumber]
        from later in Gen.Int[0, 12 * 366]
        select (DateOnly.FromDayNumber(anchorDay), DateOnly.FromDayNumber(anchorDay + later));

    // All rows: derived here, not published. Months are added to the anchor and clamped to the month's last day.
    [Theory]
    [InlineData("2026-03-05", "2026-03-05", 0, 0, 0, 0)]
    [InlineData("2026-03-05", "2026-04-04", 0, 0, 30, 30)]
    [InlineData("2026-03-05", "2026-04-05", 0, 1, 0, 31)]
    [InlineData("2023-08-31", "2024-02-28", 0, 5, 28, 181)]
    [InlineData("2023-08-31", "2024-02-29", 0, 6, 0, 182)] // clamped to 29 February
    [InlineData("2022-08-31", "2023-02-28", 0, 6, 0, 181)] // clamped to 28 February
    [InlineData("2023-08-31", "2024-03-01", 0, 6, 1, 183)]
    [InlineData("2024-01-31", "2024-04-30", 0, 3, 0, 90)] // added to the anchor: a chain over 29 February would say 3 months and 1 day
    [InlineData("2024-02-29", "2025-02-27", 0, 11, 29, 364)]
    [InlineData("2024-02-29", "2025-02-28", 1, 0, 0, 365)]
    [InlineData("2024-02-29", "2025-03-29", 1, 1, 0, 394)] // the anchor's 29th, not the 28th of the first birthday
    [InlineData("2024-02-29", "2028-02-28", 3, 11, 30, 1460)]
    [InlineData("2024-02-29", "2028-02-29", 4, 0, 0, 1461)]
    [InlineData("2025-12-31", "2026-01-01", 0, 0, 1, 1)]
    public void Between_WhenCounted_GivesCompletedMonthsThenDays(
        string anchor,
        string on,
        int years,
        int months,
        int days,
        int totalDays
    ) => CalendarAge.Between(Day.Of(anchor), Day.Of(on)).ShouldBe(new CalendarAge(years, months, days, totalDays));

    [Fact]
    public void Between_WhenDateLiesBeforeAnchor_Throws() =>
        Should.Throw<ArgumentOutOfRangeException>(() => CalendarAge.Between(Day.Of("2026-03-05"), Day.Of("2026-03-04")));

    [Fact]
    public void Between_WhenComparedWithNodaTimeInMonthsAndDays_AlwaysAgrees() =>
        Spans.Sample(
            span =>
            {
                var age = CalendarAge.Between(span.Anchor, span.On);
                var period = Period.Between(Noda(span.Anchor), Noda(span.On), PeriodUnits.Months | PeriodUnits.Days);

                (age.TotalMonths, age.Days).ShouldBe((period.Months, period.Days));
            },
            iter: 20_000
        );

    [Fact]
    public void Between_WhenComparedWithNodaTimeInYearsMonthsAndDays_AgreesExceptFrom29February() =>
        Spans.Sample(
            span =>
            {
                // NodaTime adds the years first and the months to that sum, so a 29 February anchor is a 28th from its first
                // birthday on; here everything is added to the anchor. Nowhere else do the two conventions differ.
                if (span.Anchor is { Month: 2, Day: 29 })
                {
                    return;
                }
                var age = CalendarAge.Between(span.Anchor, span.On);
                var period = Period.Between(Noda(span.Anchor), Noda(span.On), PeriodUnits.YearMonthDay);

                (age.Years, age.Months, age.Days).ShouldBe((period.Years, period.Months, period.Days));
            },
            iter: 20_000
        );

    [Fact]
    public void Between_WhenAnchorIs29February_DiffersFromNodaTimeByTheClampedDay()
    {
        var age = CalendarAge.Between(Day.Of("2024-02-29"), Day.Of("2025-03-29"));
        var period = Period.Between(new LocalDate(2024, 2, 29), new LocalDate(2025, 3, 29), PeriodUnits.YearMonthDay);

        (age.Years, age.Months, age.Days).ShouldBe((1, 1, 0));
        (period.Years, period.Months, period.Days).ShouldBe((1, 1, 1));
    }

    [Fact]
    public void Between_WhenADayPasses_NeverGoesBack() =>
        Spans.Sample(
            span =>
            {
                var today = CalendarAge.Between(span.Anchor, span.On);
                var tomorrow = CalendarAge.Between(span.Anchor, span.On.AddDays(1));

                (tomorrow.TotalMonths, tomorrow.Days).ShouldBeGreaterThan((today.TotalMonths, today.Days));
                tomorrow.TotalDays.ShouldBe(today.TotalDays + 1);
                span.Anchor.AddMonths(today.TotalMonths).AddDays(today.Days).ShouldBe(span.On);
            },
            iter: 10_000
        );

    [Theory]
    [InlineData("2026-01-05", "2026-01-18", "13 d")]
    [InlineData("2026-01-05", "2026-01-19", "2 w 0 d")]
    [InlineData("2026-01-05", "2026-03-04", "8 w 2 d")]
    [InlineData("2026-01-05", "2026-03-05", "2 m 0 d")]
    [InlineData("2026-01-05", "2028-01-04", "23 m 30 d")]
    [InlineData("2026-01-05", "2028-01-05", "2 y 0 m")]
    [InlineData("2026-01-05", "2028-04-20", "2 y 3 m")]
    public void ToString_WhenAgeGrows_ChangesItsUnits(string anchor, string on, string text) =>
        CalendarAge.Between(Day.Of(anchor), Day.Of(on)).ToString().ShouldBe(text);

    [Theory]
    [InlineData(266, 38, 0, "38+0")]
    [InlineData(307, 43, 6, "43+6")]
    [InlineData(6, 0, 6, "0+6")]
    public void WeeksAndDays_WhenWritten_SplitsTheDays(int totalDays, int weeks, int days, string text)
    {
        var age = new WeeksAndDays(totalDays);

        (age.Weeks, age.Days, age.ToString()).ShouldBe((weeks, days, text));
    }

    private static LocalDate Noda(DateOnly on) => LocalDate.FromDateOnly(on);
}
