using System.Globalization;

namespace Caseload.Domain.Ages;

/// <summary>An age in completed calendar years, months and days, with the plain count of days beside it.</summary>
/// <param name="Years">Completed years.</param>
/// <param name="Months">Completed months beyond the years, 0 through 11.</param>
/// <param name="Days">Days beyond the completed months.</param>
/// <param name="TotalDays">Days from the anchor to the date.</param>
public readonly record struct CalendarAge(int Years, int Months, int Days, int TotalDays)
{
    /// <summary>Completed months in all.</summary>
    public int TotalMonths => Years * 12 + Months;

    /// <summary>Counts from an anchor to a later or equal date.</summary>
    /// <remarks>
    /// The months are the most that can be added to the anchor without passing the date; the days are what is left. Months are
    /// added to the anchor, never to an earlier sum; a day the target month lacks becomes its last day, so a child born on
    /// 29 February turns one on 28 February and four on 29 February.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">The date lies before the anchor: the caller must show something else.</exception>
    public static CalendarAge Between(DateOnly anchorOn, DateOnly on)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(on, anchorOn);
        var months = (on.Year - anchorOn.Year) * 12 + on.Month - anchorOn.Month;
        if (anchorOn.AddMonths(months) > on)
        {
            months--;
        }
        return new CalendarAge(
            months / 12,
            months % 12,
            on.DayNumber - anchorOn.AddMonths(months).DayNumber,
            on.DayNumber - anchorOn.DayNumber
        );
    }

    /// <summary>Short form for headers: "14 d", "6 w 3 d" under two months, "7 m 12 d" under two years, then "2 y 3 m".</summary>
    public override string ToString() =>
        this switch
        {
            { TotalDays: < 14 } => string.Create(CultureInfo.InvariantCulture, $"{TotalDays} d"),
            { TotalMonths: < 2 } => string.Create(CultureInfo.InvariantCulture, $"{TotalDays / 7} w {TotalDays % 7} d"),
            { TotalMonths: < 24 } => string.Create(CultureInfo.InvariantCulture, $"{TotalMonths} m {Days} d"),
            _ => string.Create(CultureInfo.InvariantCulture, $"{Years} y {Months} m"),
        };
}

/// <summary>An age in completed weeks and further days, used for postmenstrual age.</summary>
/// <param name="TotalDays">The whole length in days.</param>
public readonly record struct WeeksAndDays(int TotalDays)
{
    /// <summary>Completed weeks.</summary>
    public int Weeks => TotalDays / 7;

    /// <summary>Days beyond the completed weeks, 0 through 6.</summary>
    public int Days => TotalDays % 7;

    /// <summary>Weeks and days as clinicians write them, for example <c>38+2</c>.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Weeks}+{Days}");
}
