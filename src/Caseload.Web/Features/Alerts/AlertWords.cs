using System.Globalization;
using Caseload.Data.Alerts;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Alerts;

/// <summary>What the alert pages call things.</summary>
public static class AlertWords
{
    /// <summary>The one state that is shown; null when several are.</summary>
    public static AlertState? StateOf(AlertShow show) =>
        show switch
        {
            AlertShow.Open => AlertState.Open,
            AlertShow.Acknowledged => AlertState.Acknowledged,
            AlertShow.ActedOn => AlertState.ActedOn,
            AlertShow.SetAside => AlertState.SetAside,
            AlertShow.Closed => AlertState.Closed,
            _ => null,
        };

    /// <summary>What the list shows.</summary>
    public static string Of(AlertShow show) =>
        show switch
        {
            AlertShow.Standing => "All that stand",
            AlertShow.Closed => $"Closed, {ListAlertsHandler.ClosedDays} days",
            _ => AlertText.Of(StateOf(show)!.Value),
        };

    /// <summary>Since when, and for how many weeks.</summary>
    public static string Since(AlertRow alert, DateOnly todayOn)
    {
        if (alert.SinceOn is not { } sinceOn)
        {
            return "since birth";
        }
        var days = todayOn.DayNumber - sinceOn.DayNumber;
        var weeks = (days / 7).ToString(CultureInfo.InvariantCulture);
        return days switch
        {
            <= 0 => "since today",
            < 14 => $"since {Dates.Full(sinceOn)}, {(days == 1 ? "1 day" : $"{days.ToString(CultureInfo.InvariantCulture)} days")}",
            _ => $"since {Dates.Full(sinceOn)}, {weeks} weeks",
        };
    }

    /// <summary>By when an answer is awaited, or what became of the alert.</summary>
    /// <param name="alert">The alert.</param>
    /// <param name="at">Now, by the programme's clocks.</param>
    public static string Standing(AlertRow alert, DateTimeOffset at) =>
        alert.State switch
        {
            AlertState.Open when alert.AnswerBy is { } by && by > at => "answer by " + Near(by, at),
            AlertState.Open when alert.AnswerBy is { } by => "overdue " + Overdue(at - by),
            AlertState.Open when alert.IsEscalated => "overdue, the team lead was told",
            AlertState.Open => "no answer yet",
            AlertState.SetAside => "set aside until " + Dates.Full(alert.BackOn),
            AlertState.Closed =>
                $"closed {Dates.Full(alert.ClosedOn)}: {(alert.ClosedBecause is { } because ? Lower(AlertPhrases.Of(because)) : "")}",
            _ => Lower(AlertText.Of(alert.State)),
        };

    /// <summary>Whether an open alert has waited for too long.</summary>
    public static bool IsOverdue(AlertRow alert, DateTimeOffset at) =>
        alert.State == AlertState.Open && (alert.AnswerBy is { } by ? by <= at : alert.IsEscalated);

    /// <summary>A number of alerts.</summary>
    public static string Count(int count) => count == 1 ? "1 alert" : count.ToString(CultureInfo.InvariantCulture) + " alerts";

    private static string Near(DateTimeOffset by, DateTimeOffset at) =>
        by.Date == at.Date ? "today " + by.ToString("HH:mm", CultureInfo.InvariantCulture)
        : by - at < TimeSpan.FromDays(1) ? "tomorrow " + by.ToString("HH:mm", CultureInfo.InvariantCulture)
        : Dates.Near(DateOnly.FromDateTime(by.DateTime));

    private static string Overdue(TimeSpan late) =>
        late switch
        {
            { TotalHours: < 1 } => "just now",
            { TotalHours: < 2 } => "1 hour",
            { TotalDays: < 2 } => ((int)late.TotalHours).ToString(CultureInfo.InvariantCulture) + " hours",
            { TotalDays: < 14 } => ((int)late.TotalDays).ToString(CultureInfo.InvariantCulture) + " days",
            _ => ((int)late.TotalDays / 7).ToString(CultureInfo.InvariantCulture) + " weeks",
        };

    private static string Lower(string text) => char.ToLowerInvariant(text[0]) + text[1..];
}
