using Caseload.Data;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Hours of a programme's day as instants, for jobs that are due at one.</summary>
public static class ProgrammeClock
{
    /// <summary>When a programme's clocks show an hour; where they skip it, the first moment after the gap, and where they show it twice, the first.</summary>
    public static DateTimeOffset At(ProgrammeRow programme, DateOnly on, TimeOnly hour)
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId);
        var local = on.ToDateTime(hour);
        while (zone.IsInvalidTime(local))
        {
            local = local.AddMinutes(1);
        }
        var offset = zone.IsAmbiguousTime(local) ? zone.GetAmbiguousTimeOffsets(local).Max() : zone.GetUtcOffset(local);
        return new DateTimeOffset(local, offset).ToUniversalTime();
    }

    /// <summary>The last day on which an hour has come.</summary>
    public static DateOnly LastOn(ProgrammeRow programme, TimeOnly hour, DateTimeOffset at)
    {
        var todayOn = programme.TodayOn(at);
        return At(programme, todayOn, hour) <= at ? todayOn : todayOn.AddDays(-1);
    }
}
