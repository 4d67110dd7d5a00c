namespace Caseload.Domain.Calendar;

/// <summary>What the clocks of a zone show, as instants; right across every change of the clocks.</summary>
public static class ZoneClock
{
    private static readonly TimeSpan _aDay = TimeSpan.FromDays(1);

    /// <summary>The first instant at which the clocks show a local time or, where they skip it, the end of the gap.</summary>
    /// <param name="zone">The zone.</param>
    /// <param name="local">What the clocks show.</param>
    /// <returns>The instant, in UTC.</returns>
    public static DateTimeOffset FirstInstant(TimeZoneInfo zone, DateTime local)
    {
        // The offsets a day before and a day after enclose the one change of the clocks that can matter.
        var earlier = zone.GetUtcOffset(new DateTimeOffset(local, TimeSpan.Zero) - _aDay);
        var later = zone.GetUtcOffset(new DateTimeOffset(local, TimeSpan.Zero) + _aDay);
        var byEarlier = new DateTimeOffset(local, TimeSpan.Zero) - earlier;
        var byLater = new DateTimeOffset(local, TimeSpan.Zero) - later;
        if (zone.GetUtcOffset(byEarlier) == earlier)
        {
            return byEarlier;
        }
        if (zone.GetUtcOffset(byLater) == later)
        {
            return byLater;
        }
        // Skipped: the change lies after the instant that the later offset gives and not after the one that the earlier gives.
        var (before, after) = (byLater.UtcTicks, byEarlier.UtcTicks);
        while (after - before > 1)
        {
            var middle = before + (after - before) / 2;
            if (zone.GetUtcOffset(new DateTimeOffset(middle, TimeSpan.Zero)) == earlier)
            {
                before = middle;
            }
            else
            {
                after = middle;
            }
        }
        return new DateTimeOffset(after, TimeSpan.Zero);
    }
}
