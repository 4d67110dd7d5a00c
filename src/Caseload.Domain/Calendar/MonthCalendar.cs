namespace Caseload.Domain.Calendar;

/// <summary>Adds calendar months to a day number without building dates; the batch path's calendar.</summary>
/// <remarks>
/// Months are always added to the anchor, never to an earlier sum, and a day that the target month lacks becomes that
/// month's last day: 31 August + 6 months is 28 or 29 February, 29 February + 12 months is 28 February.
/// Answers equal <see cref="DateOnly.AddMonths"/>, which is used outside the years of the table.
/// </remarks>
internal static class MonthCalendar
{
    private const int FirstYear = 1900;
    private const int LastYear = 2200;

    // Day number of the first of every month, one more entry than months so that a month's length is a subtraction.
    private static readonly int[] _monthStarts = BuildMonthStarts();

    private static int[] BuildMonthStarts()
    {
        var starts = new int[(LastYear - FirstYear + 1) * 12 + 1];
        for (var index = 0; index < starts.Length; index++)
        {
            starts[index] = new DateOnly(FirstYear, 1, 1).AddMonths(index).DayNumber;
        }
        return starts;
    }

    /// <summary>Fills <paramref name="target"/> with the anchor plus each number of months.</summary>
    public static void AddMonths(int anchorDay, ReadOnlySpan<int> months, Span<int> target)
    {
        var anchor = DateOnly.FromDayNumber(anchorDay);
        var monthIndex = (anchor.Year - FirstYear) * 12 + anchor.Month - 1;
        var dayOfMonth = anchor.Day - 1;
        var starts = _monthStarts;
        for (var index = 0; index < months.Length; index++)
        {
            var month = monthIndex + months[index];
            if (month < 0 || month >= starts.Length - 1)
            {
                target[index] = anchor.AddMonths(months[index]).DayNumber;
                continue;
            }
            var start = starts[month];
            var last = starts[month + 1] - 1;
            var day = start + dayOfMonth;
            target[index] = day < last ? day : last;
        }
    }
}
