using System.Globalization;

namespace Caseload.Domain.Calendar;

/// <summary>One weekly digest in time.</summary>
/// <param name="AsOfOn">The calendar day it is meant for, in the programme's zone.</param>
/// <param name="At">The instant at which it is due.</param>
public readonly record struct DigestWeek(DateOnly AsOfOn, DateTimeOffset At)
{
    /// <summary>Its ISO 8601 week, for example <c>2026-W48</c>; the year is the week's, which at its ends is not always the day's.</summary>
    public string Week =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"{ISOWeek.GetYear(AsOfOn.ToDateTime(TimeOnly.MinValue)):0000}-W{ISOWeek.GetWeekOfYear(AsOfOn.ToDateTime(TimeOnly.MinValue)):00}"
        );
}

/// <summary>When the weekly digest is due: a weekday and an hour by the clocks of a zone. Exactly one digest falls into each ISO week.</summary>
/// <remarks>An hour that the clocks skip is taken at the first instant after the gap; an hour that comes twice is taken once, the first time.</remarks>
/// <param name="Zone">The programme's time zone.</param>
/// <param name="Day">The weekday.</param>
/// <param name="Hour">The hour, 0 to 23.</param>
public sealed record DigestRhythm(TimeZoneInfo Zone, DayOfWeek Day, int Hour)
{
    /// <summary>The newest digest that is due at an instant or was before.</summary>
    public DigestWeek NewestAt(DateTimeOffset at)
    {
        // A day ahead of the clocks: set back over midnight, they show the day before again after the digest of the new day.
        var on = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, Zone).DateTime).AddDays(1);
        on = on.AddDays(-(((int)on.DayOfWeek - (int)Day + 7) % 7));
        var digest = On(on);
        while (digest.At > at)
        {
            digest = Before(digest, 1);
        }
        return digest;
    }

    /// <summary>The first digest that becomes due after an instant.</summary>
    public DigestWeek NextAfter(DateTimeOffset at) => On(NewestAt(at).AsOfOn.AddDays(7));

    /// <summary>The digest a number of weeks before another; negative for after.</summary>
    public DigestWeek Before(DigestWeek digest, int weeks) => On(digest.AsOfOn.AddDays(-7 * weeks));

    /// <summary>The digest of an ISO week such as <c>2026-W48</c>.</summary>
    /// <exception cref="FormatException">It is not an ISO week.</exception>
    public DigestWeek Of(string week)
    {
        if (
            week.Split("-W") is not [{ Length: 4 } yearText, { Length: 2 } weekText]
            || !int.TryParse(yearText, NumberStyles.None, CultureInfo.InvariantCulture, out var year)
            || !int.TryParse(weekText, NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            || year < 1
            || number < 1
            || number > ISOWeek.GetWeeksInYear(year)
        )
        {
            throw new FormatException($"\"{week}\" is not an ISO week. Write it as in 2026-W48.");
        }
        return On(DateOnly.FromDateTime(ISOWeek.ToDateTime(year, number, Day)));
    }

    private DigestWeek On(DateOnly on) => new(on, ZoneClock.FirstInstant(Zone, on.ToDateTime(new TimeOnly(Hour, 0))));
}
