using Caseload.Domain.Calendar;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Ical.Net.Serialization;

namespace Caseload.Web.Platform.VisitCalendar;

/// <summary>A visit as a calendar program is told of it: no name and no birth date.</summary>
/// <param name="Id">The planned visit.</param>
/// <param name="Code">The child's code.</param>
/// <param name="Zone">The travel zone; null when not known.</param>
/// <param name="On">The day.</param>
/// <param name="StartsAt">The hour on the programme's clocks; null when only the day is known.</param>
/// <param name="ChangedAt">When it was planned or last changed.</param>
/// <param name="Revision">How often it was changed.</param>
public sealed record CalendarVisit(
    Guid Id,
    string Code,
    string? Zone,
    DateOnly On,
    TimeOnly? StartsAt,
    DateTimeOffset ChangedAt,
    int Revision
);

/// <summary>Writes planned visits as an iCalendar object (RFC 5545).</summary>
public static class VisitCalendarText
{
    /// <summary>The media type of it.</summary>
    public const string MediaType = "text/calendar; charset=utf-8";

    /// <summary>Writes the visits; the same visits give the same text.</summary>
    /// <param name="visits">The visits.</param>
    /// <param name="zone">The programme's time zone, in which hours are meant.</param>
    /// <param name="visitMinutes">How long a visit takes.</param>
    public static string Write(IEnumerable<CalendarVisit> visits, TimeZoneInfo zone, int visitMinutes)
    {
        var calendar = new Calendar { ProductId = "-//Caseload//Visit plan//EN", Method = "PUBLISH" };
        calendar.AddProperty("X-WR-CALNAME", "Caseload visits");
        foreach (var visit in visits.OrderBy(visit => visit.On).ThenBy(visit => visit.Id))
        {
            calendar.Events.Add(EventOf(visit, zone, visitMinutes));
        }
        return new CalendarSerializer().SerializeToString(calendar)!;
    }

    private static CalendarEvent EventOf(CalendarVisit visit, TimeZoneInfo zone, int visitMinutes)
    {
        var (start, end) = visit.StartsAt is { } hour
            ? (Instant(visit.On, hour, zone, 0), Instant(visit.On, hour, zone, visitMinutes))
            : (new CalDateTime(visit.On), new CalDateTime(visit.On.AddDays(1)));
        return new CalendarEvent
        {
            Uid = $"{visit.Id:N}@caseload",
            Summary = $"Visit {visit.Code}",
            Location = visit.Zone,
            Start = start,
            End = end,
            // Not now: two calls without a change in between must give the same text.
            DtStamp = Utc(visit.ChangedAt),
            LastModified = Utc(visit.ChangedAt),
            Sequence = visit.Revision,
            Class = "PRIVATE",
        };
    }

    private static CalDateTime Instant(DateOnly on, TimeOnly hour, TimeZoneInfo zone, int plusMinutes) =>
        Utc(ZoneClock.FirstInstant(zone, on.ToDateTime(hour)).AddMinutes(plusMinutes));

    private static CalDateTime Utc(DateTimeOffset at) => new(at.UtcDateTime, CalDateTime.UtcTzId, hasTime: true);
}
