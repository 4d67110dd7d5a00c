using System.Globalization;
using Caseload.Data.Alerts;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Digests;

/// <summary>How a digest says things; the same words on the screen and in both parts of the mail.</summary>
public static class DigestWords
{
    /// <summary>What every digest ends with.</summary>
    public const string Caution =
        "Caseload supports licensed practice and does not replace it. Nothing here is a diagnosis; your local protocol goes first.";

    /// <summary>The subject of the mail: counts, and nobody's name.</summary>
    public static string SubjectOf(DigestContent content) =>
        $"Caseload {(content.Team is null ? "digest" : "team digest")}, week {NumberOf(content.Week)}: "
        + $"{(content.Persisting.Count == 0 ? "nothing" : Number(content.Persisting.Count))} persisting, "
        + Count(content.NewAlerts.Count, "new alert", "new alerts");

    /// <summary>The week's number, without a leading zero.</summary>
    public static string NumberOf(string week) => week[6..].TrimStart('0');

    /// <summary>A day by name, for example "Monday 23 November 2026".</summary>
    public static string Day(DateOnly on) => on.ToString("dddd d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>A count with its noun; none is "no".</summary>
    public static string Count(int count, string one, string many) => $"{(count == 0 ? "no" : Number(count))} {(count == 1 ? one : many)}";

    /// <summary>A number.</summary>
    public static string Number(int count) => count.ToString(CultureInfo.InvariantCulture);

    /// <summary>A number of weeks.</summary>
    public static string Weeks(int weeks) => weeks == 0 ? "less than a week" : Count(weeks, "week", "weeks");

    /// <summary>How a child is called in a digest, and whose it is if not the reader's.</summary>
    public static string NameOf(DigestChild child) => child.Clinician is null ? child.Name : $"{child.Name}, {child.Clinician}";

    /// <summary>What became of a persisting response within the week.</summary>
    public static string Of(PersistingTrend trend) =>
        trend switch
        {
            PersistingTrend.New => "new this week",
            PersistingTrend.NotSeenAgain => "not looked at this week",
            PersistingTrend.Stronger => "stronger than before",
            PersistingTrend.Weaker => "weaker than before",
            PersistingTrend.Same => "as strong as before",
            _ => throw new ArgumentOutOfRangeException(nameof(trend)),
        };

    /// <summary>Why an alert closed.</summary>
    public static string Of(AlertEnd end) =>
        end switch
        {
            AlertEnd.NewFinding => "a new finding says otherwise",
            AlertEnd.BecameAnother => "it became another alert",
            AlertEnd.NoLongerFound => "no longer found",
            AlertEnd.Visited => "visited",
            AlertEnd.Assigned => "has a clinician",
            AlertEnd.SignSettled => "settled",
            AlertEnd.CaseClosed => "the case was closed",
            _ => throw new ArgumentOutOfRangeException(nameof(end)),
        };
}
