using Caseload.Domain.Calendar;
using CsCheck;

namespace Caseload.Domain.Tests.Calendar;

public sealed class MonthCalendarTests
{
    private static readonly int[] AllMonths = [.. Enumerable.Range(0, 61)];

    [Fact]
    public void AddMonths_WhenAnchorIsRandom_EqualsDateOnly() =>
        // The table runs from 1900 through 2200; anchors lie within, across and outside its ends.
        Gen.Int[new DateOnly(1880, 1, 1).DayNumber, new DateOnly(2220, 12, 31).DayNumber].Sample(AssertEqualsDateOnly, iter: 5_000);

    [Fact]
    public void AddMonths_WhenEveryDayOfFourYearsIsTheAnchor_EqualsDateOnly()
    {
        for (var day = new DateOnly(2024, 1, 1).DayNumber; day <= new DateOnly(2027, 12, 31).DayNumber; day++)
        {
            AssertEqualsDateOnly(day);
        }
    }

    [Theory]
    [InlineData("1899-12-31")]
    [InlineData("1900-01-01")]
    [InlineData("2195-12-31")]
    [InlineData("2196-01-31")]
    [InlineData("2200-11-30")]
    [InlineData("2200-12-31")]
    [InlineData("2201-01-01")]
    [InlineData("2096-02-29")] // 2100 has no 29 February
    public void AddMonths_WhenAnchorLiesAtAnEdge_EqualsDateOnly(string anchor) => AssertEqualsDateOnly(Day.Of(anchor).DayNumber);

    [Theory]
    [InlineData("2025-08-31", 6, "2026-02-28")]
    [InlineData("2027-08-31", 6, "2028-02-29")]
    [InlineData("2024-02-29", 12, "2025-02-28")]
    [InlineData("2024-02-29", 48, "2028-02-29")]
    [InlineData("2024-01-31", 3, "2024-04-30")]
    public void AddMonths_WhenMonthLacksTheDay_TakesItsLast(string anchor, int months, string expected)
    {
        Span<int> days = stackalloc int[1];

        MonthCalendar.AddMonths(Day.Of(anchor).DayNumber, [months], days);

        DateOnly.FromDayNumber(days[0]).ShouldBe(Day.Of(expected));
    }

    [Theory]
    [InlineData("2026-03-01", false)]
    [InlineData("2026-03-02", true)]
    [InlineData("2026-03-05", true)]
    [InlineData("2026-03-06", false)]
    public void DateSpan_WhenAsked_ContainsBothEnds(string on, bool contains)
    {
        var span = new DateSpan(Day.Of("2026-03-02"), Day.Of("2026-03-05"));

        span.Contains(Day.Of(on)).ShouldBe(contains);
        span.ToString().ShouldBe("2026-03-02 to 2026-03-05");
    }

    private static void AssertEqualsDateOnly(int anchorDay)
    {
        Span<int> days = stackalloc int[AllMonths.Length];
        var anchor = DateOnly.FromDayNumber(anchorDay);

        MonthCalendar.AddMonths(anchorDay, AllMonths, days);

        for (var months = 0; months < days.Length; months++)
        {
            if (days[months] != anchor.AddMonths(months).DayNumber)
            {
                DateOnly.FromDayNumber(days[months]).ShouldBe(anchor.AddMonths(months), $"{anchor:O} + {months}");
            }
        }
    }
}
