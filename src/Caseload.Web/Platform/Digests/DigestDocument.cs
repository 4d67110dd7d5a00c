using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Digests;

/// <summary>A digest in words, before it is known whether it becomes a page, plain text or HTML; so all three say the same.</summary>
/// <param name="Title">Its heading.</param>
/// <param name="Lead">What it speaks of, in a sentence.</param>
/// <param name="Sections">What there is to say.</param>
/// <param name="Nothing">What there is nothing to say about, each in a few words.</param>
public sealed record DigestDocument(string Title, string Lead, IReadOnlyList<DigestSection> Sections, IReadOnlyList<string> Nothing)
{
    /// <summary>What is said instead of sections in a week that has none.</summary>
    public const string Quiet =
        "A quiet week: nothing to report, and nothing falls due in the coming week. Thank you for keeping it that way.";

    /// <summary>What stands under the sections, or instead of them; null when there is something to say about everything.</summary>
    public string? Closing =>
        Sections.Count == 0 ? Quiet
        : Nothing.Count == 0 ? null
        : $"None: {string.Join(", ", Nothing)}.";

    /// <summary>Puts a digest into words.</summary>
    public static DigestDocument Of(DigestContent content)
    {
        DigestSection[] all =
        [
            new("Persisting", "past the usual age, as of this day", "persisting responses", [.. content.Persisting.Select(Line)]),
            new("New alerts", "raised since the last digest", "new alerts", [.. content.NewAlerts.Select(NewLine)]),
            new(
                "Deadlines passed without a check",
                "nobody has looked",
                "deadlines passed",
                ByChild(content.DeadlinesPassed, line => line.ChildId, Line, "deadlines passed"),
                content.DeadlinesPassed.Count
            ),
            new(
                "Second looks overdue",
                "absent once, not confirmed in time",
                "second looks overdue",
                ByChild(content.SecondLooksOverdue, line => line.ChildId, Line, "second looks overdue"),
                content.SecondLooksOverdue.Count
            ),
            new("Due in the coming week", "and overdue, by child", "checks due in the coming week", [.. content.Due.Select(Line)]),
            new("Integrated this week", "good news", "newly integrated responses", [.. content.Integrated.Select(Line)]),
            new("Closed alerts", "closed since the last digest", "closed alerts", [.. content.ClosedAlerts.Select(ClosedLine)]),
            new("Not visited", "for longer than the programme wants", "children not visited", [.. content.NotVisited.Select(Line)]),
            new(
                "Without a clinician",
                "nobody is responsible",
                "children without a clinician",
                [.. content.WithoutClinician.Select(id => new DigestLine(id, "no clinician is responsible", null, Concern.Watch, []))]
            ),
        ];
        return new DigestDocument(
            $"Week {DigestWords.NumberOf(content.Week)} of {content.Week[..4]}",
            $"As of {DigestWords.Day(content.AsOfOn)}: {DigestWords.Count(content.ChildCount, "open case", "open cases")}, "
                + $"{DigestWords.Count(content.Due.Count, "child", "children")} to visit by {Near(content.AsOfOn.AddDays(DigestDays.Week))}.",
            [.. all.Where(section => section.Lines.Count > 0)],
            [
                .. all.Where(section => section.Lines.Count == 0)
                    // A clinician's own children have one.
                    .Where(section => content.Team is not null || section.Title != "Without a clinician")
                    .Select(section => section.Nothing),
            ]
        );
    }

    /// <summary>A clinician's numbers in two sentences.</summary>
    public static (string Numbers, string Alerts) TotalsOf(DigestTotals totals) =>
        (
            $"{DigestWords.Count(totals.Children, "child", "children")}, {DigestWords.Number(totals.Persisting)} persisting, "
                + $"{DigestWords.Count(totals.Overdue, "check", "checks")} overdue, {DigestWords.Number(totals.NotVisited)} not visited",
            totals.Alerts.Count == 0
                ? "no open alerts"
                : "open alerts: "
                    + string.Join(
                        ", ",
                        totals.Alerts.Select(row =>
                            $"{DigestWords.Number(row.Count)} {AlertText.Severity(row.Severity).ToLowerInvariant()}"
                        )
                    )
        );

    /// <summary>How a group of a team lead's numbers is called in the mail.</summary>
    public static string LabelOf(DigestTotals totals) => totals.ClinicianId is null ? "No clinician" : totals.Clinician;

    private static DigestLine Line(DigestPersisting line) =>
        new(
            line.ChildId,
            $"{line.Item}: {DigestWords.Weeks(line.WeeksPast)} past its deadline"
                + (line.Step == 2 ? ", past the latest limit" : "")
                + (line.SinceOn is null ? "" : $"; since {DueText.Day(line.SinceOn)}"),
            DigestWords.Of(line.Trend),
            line.Step == 2 || line.Trend == PersistingTrend.Stronger ? Concern.Act : Concern.Advisory,
            []
        );

    private static DigestLine NewLine(DigestAlert line) =>
        new(line.ChildId, line.Title, AlertText.Severity(line.Severity).ToLowerInvariant(), line.Severity, []);

    private static DigestLine ClosedLine(DigestAlert line) =>
        new(line.ChildId, line.Title, line.Because is { } because ? DigestWords.Of(because) : null, Concern.None, []);

    private static DigestLine Line(DigestDeadline line) =>
        new(line.ChildId, $"{line.Item}: {DigestWords.Weeks(line.WeeksPast)} past its deadline", null, Concern.Watch, []);

    private static DigestLine Line(DigestSecondLook line) =>
        new(
            line.ChildId,
            $"{line.Item}: absent on {DueText.Day(line.AbsentOn)}, second look by {DueText.Day(line.ThroughOn)}",
            null,
            Concern.Watch,
            []
        );

    private static DigestLine Line(DigestDue line) =>
        new(
            line.ChildId,
            line.Checks[0].IsOverdue ? $"visit overdue since {Near(line.VisitByOn)}" : $"visit by {Near(line.VisitByOn)}",
            null,
            line.Checks[0].IsOverdue ? Concern.Watch : Concern.None,
            [
                .. line.Checks.Select(check =>
                    $"{check.Item}: {Labels.Of(check.Purpose).ToLowerInvariant()}, {(check.IsOverdue ? "was due" : "by")} {Near(check.ThroughOn)}"
                ),
                .. line.MoreCount == 0 ? [] : new[] { $"{DigestWords.Count(line.MoreCount, "other", "others")} may be done and can wait" },
            ]
        );

    // Many may concern one child: the child is named once.
    private static DigestLine[] ByChild<T>(IEnumerable<T> items, Func<T, Guid> childOf, Func<T, DigestLine> lineOf, string what) =>
        [
            .. items
                .GroupBy(childOf)
                .Select(group => group.Select(lineOf).ToList())
                .Select(lines =>
                    lines.Count == 1
                        ? lines[0]
                        : lines[0] with
                        {
                            Text = $"{DigestWords.Number(lines.Count)} {what}",
                            Details = [.. lines.Select(line => line.Text)],
                        }
                ),
        ];

    private static DigestLine Line(DigestIntegrated line) =>
        new(line.ChildId, $"{line.Item}: integrated on {DueText.Day(line.SinceOn)}", null, Concern.None, []);

    private static DigestLine Line(DigestNotVisited line) =>
        new(
            line.ChildId,
            line.LastVisitOn is { } visitedOn
                ? $"last visit on {DueText.Day(visitedOn)}, {DigestWords.Weeks(line.Weeks)} ago"
                : $"no visit in the {DigestWords.Weeks(line.Weeks)} since enrolment",
            null,
            Concern.Watch,
            []
        );

    private static string Near(DateOnly on) => Ui.Dates.Near(on);
}

/// <summary>A part of a digest.</summary>
/// <param name="Title">Its heading.</param>
/// <param name="Note">What the heading means.</param>
/// <param name="Nothing">What it would be about, when it has no lines.</param>
/// <param name="Lines">What it says, most urgent first.</param>
/// <param name="Count">How many things that is; a line may hold several.</param>
public sealed record DigestSection(string Title, string Note, string Nothing, IReadOnlyList<DigestLine> Lines, int Count)
{
    internal DigestSection(string title, string note, string nothing, IReadOnlyList<DigestLine> lines)
        : this(title, note, nothing, lines, lines.Count) { }
}

/// <summary>A line about a child; the child's name or code stands before it.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="Text">What it says.</param>
/// <param name="Tag">A few words that stand out.</param>
/// <param name="Tone">How much attention it asks for.</param>
/// <param name="Details">What it consists of.</param>
public sealed record DigestLine(Guid ChildId, string Text, string? Tag, Concern Tone, IReadOnlyList<string> Details);
