using System.Globalization;
using Caseload.Domain.Ages;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Summaries;

/// <summary>A column of a summary's table of children: the same for every kind of file and the screen.</summary>
/// <param name="Header">Its header, in plain words.</param>
/// <param name="Width">How wide it is, in characters.</param>
/// <param name="Value">What stands in it: text, a whole number, a day, or nothing.</param>
public sealed record SummaryColumn<T>(string Header, double Width, Func<T, object?> Value);

/// <summary>An item of a child as a row of its own.</summary>
/// <param name="Child">The child.</param>
/// <param name="Item">The item.</param>
public sealed record SummaryItemRow(SummaryChild Child, SummaryItem Item);

/// <summary>Which columns a summary has.</summary>
public static class SummaryCells
{
    private const string Separator = "; ";

    /// <summary>The columns of the table of children.</summary>
    /// <param name="hasNames">Whether children are named; otherwise there is neither a name nor a birth date.</param>
    public static IReadOnlyList<SummaryColumn<SummaryChild>> OfChildren(bool hasNames) =>
        [
            new("Code", 9, child => child.Code),
            .. hasNames
                ? [new("Name", 26, child => child.Name), new SummaryColumn<SummaryChild>("Date of birth", 12, child => child.BornOn)]
                : Array.Empty<SummaryColumn<SummaryChild>>(),
            new("Age that counts", 14, child => Age(child.Ages)),
            new("Counted as", 14, child => Basis(child.Ages.Basis)),
            new("Age since birth", 13, child => child.Ages.Chronological.ToString()),
            new("Clinician", 20, child => child.Clinician),
            new("Zone", 12, child => child.Zone),
            new("Last visit", 11, child => child.LastVisitOn),
            new("Next visit", 11, child => child.NextVisitOn),
            new("Attention", 20, child => Labels.Of(child.Attention)),
            new("Worst status", 38, child => child.WorstWords),
            new("Open alerts", 7, child => child.Alerts.Count),
            new("What the alerts say", 60, child => string.Join(Separator, child.Alerts.Select(alert => alert.Words))),
            new("Most weeks past a deadline", 9, child => child.Alerts.Max(alert => alert.WeeksPast)),
            new("Checks due in 14 days", 9, child => child.Checks.Count),
            new("Of them overdue", 9, child => child.OverdueCount),
            new("Which checks", 50, child => string.Join(Separator, child.Checks.Select(Check))),
            new("Integrated since the last summary", 30, child => string.Join(Separator, child.Integrated.Select(Integrated))),
        ];

    /// <summary>The columns of the table of items.</summary>
    public static IReadOnlyList<SummaryColumn<SummaryItemRow>> OfItems(bool hasNames) =>
        [
            new("Code", 9, row => row.Child.Code),
            .. hasNames
                ? [new SummaryColumn<SummaryItemRow>("Name", 26, row => row.Child.Name)]
                : Array.Empty<SummaryColumn<SummaryItemRow>>(),
            new("Clinician", 20, row => row.Child.Clinician),
            new("Item", 30, row => row.Item.Item),
            new("Status", 34, row => row.Item.Words),
            new("Since", 11, row => row.Item.SinceOn),
            new("Attention", 20, row => Labels.Of(row.Item.Concern)),
            new("Usual deadline", 12, row => row.Item.UsualThroughOn),
            new("Latest published limit", 12, row => row.Item.LatestThroughOn),
            new("Next check from", 12, row => row.Item.Check?.Span.From),
            new("Next check through", 12, row => row.Item.Check?.Span.Through),
            new("What the check is for", 24, row => row.Item.Check is { } check ? Labels.Of(check.Purpose) : null),
        ];

    /// <summary>The rows of the table of items.</summary>
    public static IEnumerable<SummaryItemRow> ItemRows(CaseloadSummary summary) =>
        summary.Children.SelectMany(child => child.Items.Select(item => new SummaryItemRow(child, item)));

    /// <summary>The age that counts, without the word for its basis.</summary>
    private static string Age(ChildAges ages) =>
        ages.Basis switch
        {
            AgeBasis.Postmenstrual => $"{ages.Postmenstrual} w",
            AgeBasis.Corrected => ages.Corrected!.Value.ToString(),
            _ => ages.Chronological.ToString(),
        };

    /// <summary>How the age that counts is counted.</summary>
    private static string Basis(AgeBasis basis) =>
        basis switch
        {
            AgeBasis.Postmenstrual => "postmenstrual",
            AgeBasis.Corrected => "corrected",
            _ => "since birth",
        };

    /// <summary>A due check in a list.</summary>
    private static string Check(SummaryItem item) =>
        string.Create(CultureInfo.InvariantCulture, $"{item.Item} by {item.Check!.Span.Through:yyyy-MM-dd}");

    private static string Integrated(SummaryIntegrated line) =>
        string.Create(CultureInfo.InvariantCulture, $"{line.Item} {line.On:yyyy-MM-dd}");
}
