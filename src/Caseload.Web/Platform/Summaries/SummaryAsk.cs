using System.Globalization;
using Caseload.Domain.Calendar;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Which caseload a summary is of, and when.</summary>
/// <param name="AsOfOn">The day that it tells of.</param>
/// <param name="SinceOn">The day after which an integration is told as new; earlier than <paramref name="AsOfOn"/>.</param>
/// <param name="ClinicianId">Only children of this clinician on that day; null for all that the person reads.</param>
/// <param name="Zone">Only children of this travel zone; null for all.</param>
/// <param name="Band">Only children of this age band; null for all.</param>
/// <param name="State">Only children with an item in this state; null for all.</param>
/// <param name="LeastAlert">Only children with an open alert of at least this severity; null for all.</param>
public sealed record SummaryAsk(
    DateOnly AsOfOn,
    DateOnly SinceOn,
    Guid? ClinicianId = null,
    string? Zone = null,
    AgeBand? Band = null,
    ItemState? State = null,
    Concern? LeastAlert = null
)
{
    /// <summary>How far back an integration is told as new when there is no summary before this one.</summary>
    public const int UsualDaysBack = 28;

    /// <summary>What was recorded before this instant was known on the day: the day's end, or now when the day is not over.</summary>
    public DateTimeOffset KnownBefore(TimeZoneInfo zone, DateTimeOffset now)
    {
        var end = ZoneClock.FirstInstant(zone, AsOfOn.AddDays(1).ToDateTime(TimeOnly.MinValue));
        // What is recorded at this very instant is known by now; the store counts in microseconds.
        return end < now ? end : now.AddMicroseconds(1);
    }

    /// <summary>Which children it is about, in words.</summary>
    /// <param name="whose">Whose children, in words.</param>
    public string Scope(string whose)
    {
        List<string> parts = [whose];
        if (Zone is not null)
        {
            parts.Add("zone " + Zone);
        }
        if (Band is { } band)
        {
            parts.Add(Lower(AgeBands.Of(band)));
        }
        if (State is { } state)
        {
            parts.Add("with an item that is " + Lower(Labels.Of(state)));
        }
        if (LeastAlert is { } severity)
        {
            parts.Add(
                severity == Concern.SameDay
                    ? "with a same-day alert"
                    : $"with an alert of severity {Lower(AlertText.Severity(severity))} or more"
            );
        }
        return string.Join(", ", parts);
    }

    private static string Lower(string text) => char.ToLower(text[0], CultureInfo.InvariantCulture) + text[1..];
}

/// <summary>What stands at the head and the foot of a summary, whatever it is made as.</summary>
/// <param name="Programme">The programme's name.</param>
/// <param name="Ask">Which caseload, and when.</param>
/// <param name="Scope">The same in words.</param>
/// <param name="MadeBy">Who made it.</param>
/// <param name="MadeAt">When, by the programme's clocks.</param>
/// <param name="SetKey">The reference set that states rest on.</param>
/// <param name="HasNames">Whether children are named; otherwise they have their codes, and no birth dates.</param>
public sealed record SummaryHead(
    string Programme,
    SummaryAsk Ask,
    string Scope,
    string MadeBy,
    DateTimeOffset MadeAt,
    string SetKey,
    bool HasNames
)
{
    /// <summary>The title.</summary>
    public string Title => $"Caseload summary as of {Dates.Full(Ask.AsOfOn)}";

    /// <summary>By whom and when it was made.</summary>
    public string Made => $"Made by {MadeBy} on {Dates.Minute(MadeAt)}";

    /// <summary>A file name without an ending.</summary>
    public string FileName => string.Create(CultureInfo.InvariantCulture, $"caseload-summary-{Ask.AsOfOn:yyyy-MM-dd}");
}
