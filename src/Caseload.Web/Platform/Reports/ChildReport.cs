using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Web.Platform.Reports;

/// <summary>A finding in a report: what stands, in words.</summary>
/// <param name="On">The day of the look.</param>
/// <param name="Item">The item's name.</param>
/// <param name="Side">Where.</param>
/// <param name="Seen">What was seen, or why it could not be tested.</param>
/// <param name="State">The behavioural state; null when not recorded.</param>
/// <param name="Who">Who examined.</param>
/// <param name="Correction">Why it was corrected; null when it was not.</param>
public sealed record ReportFinding(DateOnly On, string Item, string Side, string Seen, string? State, string? Who, string? Correction);

/// <summary>What happened to an alert.</summary>
/// <param name="On">The day.</param>
/// <param name="What">What was done.</param>
/// <param name="Who">Who did.</param>
/// <param name="Note">What was noted.</param>
public sealed record ReportStep(DateOnly On, string What, string Who, string? Note);

/// <summary>An alert in a report.</summary>
/// <param name="Title">What it says.</param>
/// <param name="Severity">How much attention it asks for.</param>
/// <param name="RaisedOn">Since when it stands.</param>
/// <param name="IsClosed">Whether it is closed.</param>
/// <param name="Standing">Whether it stands, or how it ended.</param>
/// <param name="Steps">What was done, oldest first.</param>
public sealed record ReportAlert(
    string Title,
    Concern Severity,
    DateOnly RaisedOn,
    bool IsClosed,
    string Standing,
    IReadOnlyList<ReportStep> Steps
);

/// <summary>A visit in a report.</summary>
/// <param name="On">The day.</param>
/// <param name="Who">Who examined.</param>
/// <param name="Place">Where.</param>
/// <param name="FindingCount">How many findings it has.</param>
public sealed record ReportVisit(DateOnly On, string? Who, string? Place, int FindingCount);

/// <summary>Everything a physician needs to know of a child, as of a day. Notes for colleagues are no part of it.</summary>
public sealed record ChildReport
{
    /// <summary>What every report says of itself.</summary>
    public const string Nature = "Observations that support a clinical opinion, not a diagnosis.";

    /// <summary>The child.</summary>
    public required Guid ChildId { get; init; }

    /// <summary>The programme.</summary>
    public required string Programme { get; init; }

    /// <summary>The child's code.</summary>
    public required string Code { get; init; }

    /// <summary>The child's name.</summary>
    public required string Name { get; init; }

    /// <summary>The given name alone.</summary>
    public required string GivenName { get; init; }

    /// <summary>The language the family needs; null for the programme's own.</summary>
    public required string? Language { get; init; }

    /// <summary>Birth facts.</summary>
    public required BirthFacts Birth { get; init; }

    /// <summary>The day from which ages in months count.</summary>
    public required DateOnly AnchorOn { get; init; }

    /// <summary>The ages on the day.</summary>
    public required ChildAges Ages { get; init; }

    /// <summary>The day that it tells of: today, or the day on which the case was closed.</summary>
    public DateOnly AsOfOn => Ages.On;

    /// <summary>Whether the case is closed.</summary>
    public required bool IsClosed { get; init; }

    /// <summary>The clinician who is responsible.</summary>
    public required string? Clinician { get; init; }

    /// <summary>What keeps items from being tested, in words with its span.</summary>
    public required IReadOnlyList<string> Exclusions { get; init; }

    /// <summary>Items that a condition of the child rules out on the day.</summary>
    public required IReadOnlySet<string> RuledOut { get; init; }

    /// <summary>The next planned visit; null when none is.</summary>
    public required DateOnly? NextVisitOn { get; init; }

    /// <summary>Functional concerns that stand.</summary>
    public required IReadOnlyList<string> Concerns { get; init; }

    /// <summary>Every item with its reasons, those that ask for most attention first.</summary>
    public required IReadOnlyList<ItemResult> Results { get; init; }

    /// <summary>The findings that stand, as the timeline draws them.</summary>
    public required IReadOnlyList<Finding> Standing { get; init; }

    /// <summary>The findings that stand, latest first.</summary>
    public required IReadOnlyList<ReportFinding> Findings { get; init; }

    /// <summary>Alerts, those that stand first.</summary>
    public required IReadOnlyList<ReportAlert> Alerts { get; init; }

    /// <summary>Finished visits, latest first.</summary>
    public required IReadOnlyList<ReportVisit> Visits { get; init; }

    /// <summary>The sources that the reasons name.</summary>
    public required IReadOnlyList<ReferenceSource> Sources { get; init; }

    /// <summary>The reference set.</summary>
    public required string SetKey { get; init; }

    /// <summary>Who made it.</summary>
    public required string MadeBy { get; init; }

    /// <summary>When, by the programme's clocks.</summary>
    public required DateTimeOffset MadeAt { get; init; }

    /// <summary>Items that ask for attention.</summary>
    public IEnumerable<ItemResult> Concerning => Results.Where(result => result.Verdict.Concern > Concern.None);

    /// <summary>Items that were looked at and ask for none.</summary>
    public IEnumerable<ItemResult> Unremarkable =>
        Results.Where(result => result.Verdict.Concern == Concern.None && Standing.Any(finding => finding.Item == result.Item.Id));

    /// <summary>How many items were not looked at and ask for nothing yet.</summary>
    public int UntouchedCount => Results.Count - Concerning.Count() - Unremarkable.Count();
}
