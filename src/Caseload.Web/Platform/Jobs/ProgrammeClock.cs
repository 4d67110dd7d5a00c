using Caseload.Data;
using Caseload.Domain.Calendar;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Hours of a programme's day as instants, for jobs that are due at one.</summary>
public static class ProgrammeClock
{
    /// <summary>When a programme's clocks show an hour; where they skip it, the first moment after the gap, and where they show it twice, the first.</summary>
    public static DateTimeOffset At(ProgrammeRow programme, DateOnly on, TimeOnly hour) =>
        ZoneClock.FirstInstant(TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId), on.ToDateTime(hour));

    /// <summary>The last day on which an hour has come.</summary>
    public static DateOnly LastOn(ProgrammeRow programme, TimeOnly hour, DateTimeOffset at)
    {
        var todayOn = programme.TodayOn(at);
        return At(programme, todayOn, hour) <= at ? todayOn : todayOn.AddDays(-1);
    }
}
