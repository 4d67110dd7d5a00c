using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Platform.Reports;

/// <summary>The phrases of a report that the screen and paper share.</summary>
public static class ReportWords
{
    /// <summary>Birth facts in a line.</summary>
    public static string Born(BirthFacts birth) =>
        $"born {Dates.Full(birth.BornOn)}{(birth.Gestation is { } gestation ? $" at {gestation} weeks" : ", gestation not known")}";

    /// <summary>The ages, each with its name.</summary>
    public static IEnumerable<(string Name, string Value)> Ages(ChildAges ages)
    {
        if (ages.Basis == AgeBasis.Corrected)
        {
            yield return ("Corrected age", ages.Corrected!.Value.ToString());
        }
        yield return ("Age since birth", ages.Chronological.ToString());
        if (ages.Postmenstrual is { } postmenstrual)
        {
            yield return ("Postmenstrual age", $"{postmenstrual} weeks");
        }
        if (ages.ExpectedOn is { } expectedOn)
        {
            yield return ("Expected date", Dates.Full(expectedOn));
        }
    }

    /// <summary>Where the child stands with an item, and since when.</summary>
    public static string Standing(ItemResult result) =>
        Labels.Of(result.State, result.Verdict.Step, result.Verdict.IsConfirmed)
        + (result.SinceOn is { } sinceOn ? $", since {Dates.Full(sinceOn)}" : "");

    /// <summary>The usual ages of an item as days of the child's life.</summary>
    public static string Usual(ItemResult result) =>
        (result.Item.Course == ItemCourse.Emerges, result.UsualThroughOn) switch
        {
            (true, { } by) => $"usually there by {Dates.Full(by)}",
            (false, { } through) when through == result.UsualFromOn => $"usually goes by {Dates.Full(through)}",
            (false, { } through) => $"usually goes {Dates.Full(result.UsualFromOn)} to {Dates.Full(through)}",
            _ => $"expected from {Dates.Full(result.ExpectedFromOn)}",
        };

    /// <summary>A reason with the keys of its sources.</summary>
    public static string Reason(Reason reason) =>
        reason.Sources.Count == 0 ? reason.Text : $"{reason.Text} [{string.Join(", ", reason.Sources)}]";

    /// <summary>What was done about an alert.</summary>
    public static string Step(ReportStep step) =>
        $"{Dates.Full(step.On)}: {step.What}, by {step.Who}{(step.Note is null ? "" : $": {step.Note}")}";

    /// <summary>A source with how it was seen.</summary>
    public static string Source(ReferenceSource source) => $"{source.Key}: {source.Citation} ({Labels.Of(source.Seen).ToLowerInvariant()})";

    /// <summary>Who examined when, in a line.</summary>
    public static string Visit(ReportVisit visit) =>
        $"{Dates.Full(visit.On)}, {visit.Who ?? "examiner not recorded"}{(visit.Place is null ? "" : $", {visit.Place}")}, {(visit.FindingCount == 1 ? "1 finding" : $"{visit.FindingCount} findings")}";

    /// <summary>What is said of the items that the report does not list.</summary>
    public static string Untouched(ChildReport report) =>
        report.UntouchedCount switch
        {
            0 => "Every item of the reference set was looked at.",
            1 => "1 further item was not looked at and asks for nothing on this day.",
            var count => FormattableString.Invariant($"{count} further items were not looked at and ask for nothing on this day."),
        };
}
