namespace Caseload.Web.Ui;

/// <summary>Calendar days of a programme as instants.</summary>
public static class ProgrammeDays
{
    /// <summary>The first moment of a day in a time zone; where the clocks skip midnight, the moment after the gap.</summary>
    public static DateTimeOffset StartOf(DateOnly on, TimeZoneInfo zone)
    {
        var midnight = on.ToDateTime(TimeOnly.MinValue);
        while (zone.IsInvalidTime(midnight))
        {
            midnight = midnight.AddMinutes(15);
        }
        return new DateTimeOffset(TimeZoneInfo.ConvertTimeToUtc(midnight, zone), TimeSpan.Zero);
    }

    /// <summary>The moment after a day.</summary>
    public static DateTimeOffset EndOf(DateOnly on, TimeZoneInfo zone) => StartOf(on.AddDays(1), zone);

    /// <summary>An instant as the programme's clocks show it.</summary>
    public static DateTimeOffset In(DateTimeOffset at, TimeZoneInfo zone) => TimeZoneInfo.ConvertTime(at, zone);
}
