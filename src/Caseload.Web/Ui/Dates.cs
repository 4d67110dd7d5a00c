using System.Globalization;
using Caseload.Domain.Ages;

namespace Caseload.Web.Ui;

/// <summary>Dates and ages as the screens write them.</summary>
public static class Dates
{
    /// <summary>"3 Mar 2026".</summary>
    public static string Full(DateOnly? on) => on?.ToString("d MMM yyyy", CultureInfo.InvariantCulture) ?? "–";

    /// <summary>"3 Mar 2026, 14:05", by whatever clocks the instant was turned to.</summary>
    public static string Minute(DateTimeOffset at) => at.ToString("d MMM yyyy, HH:mm", CultureInfo.InvariantCulture);

    /// <summary>"Tue 3 Mar", for days near today.</summary>
    public static string Near(DateOnly on) => on.ToString("ddd d MMM", CultureInfo.InvariantCulture);

    /// <summary>The age to put first, in one phrase.</summary>
    public static string Leading(ChildAges ages) =>
        ages.Basis switch
        {
            AgeBasis.Postmenstrual => $"{ages.Postmenstrual} weeks PMA",
            AgeBasis.Corrected => $"{ages.Corrected} corrected",
            _ => $"{ages.Chronological}",
        };

    /// <summary>A number of days as people say it: "today", "in 3 days", "5 weeks ago".</summary>
    public static string Relative(DateOnly on, DateOnly todayOn)
    {
        var days = on.DayNumber - todayOn.DayNumber;
        var size = Math.Abs(days);
        var words = size switch
        {
            0 => "today",
            1 => "1 day",
            < 14 => $"{size} days",
            < 60 => $"{size / 7} weeks",
            _ => $"{size / 30} months",
        };
        return (size, days) switch
        {
            (0, _) => words,
            (_, > 0) => "in " + words,
            _ => words + " ago",
        };
    }
}
