using Caseload.Domain.Ages;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Where a child stands with an item.</summary>
/// <param name="Item">The item's name.</param>
/// <param name="State">The state.</param>
/// <param name="Step">1 or 2 for persisting and late.</param>
/// <param name="IsConfirmed">Whether an absence is confirmed.</param>
/// <param name="SinceOn">Since when; null when from birth.</param>
/// <param name="Concern">How much attention it asks for.</param>
/// <param name="UsualThroughOn">The usual deadline.</param>
/// <param name="LatestThroughOn">The latest published limit.</param>
/// <param name="Check">The next check; null when none is planned, or a condition of the child rules it out.</param>
public sealed record SummaryItem(
    string Item,
    ItemState State,
    int Step,
    bool IsConfirmed,
    DateOnly? SinceOn,
    Concern Concern,
    DateOnly? UsualThroughOn,
    DateOnly? LatestThroughOn,
    PlannedCheck? Check
)
{
    /// <summary>The state in words.</summary>
    public string Words => Labels.Of(State, Step, IsConfirmed);
}

/// <summary>An open alert.</summary>
/// <param name="Kind">What it says.</param>
/// <param name="Step">1 or 2 for persisting and late.</param>
/// <param name="Item">The item's name, or the sign of an urgent one; empty when it is about the whole child.</param>
/// <param name="Severity">How much attention it asks for.</param>
/// <param name="SinceOn">Since when; null when from birth.</param>
/// <param name="WeeksPast">Whole weeks past the usual deadline; null where there is none that has passed.</param>
public sealed record SummaryAlert(AlertKind Kind, int Step, string Item, Concern Severity, DateOnly? SinceOn, int? WeeksPast)
{
    private string Title => AlertText.Title(Kind, Step, Item);

    /// <summary>How long past the deadline, for a list of items of one kind: "39 weeks".</summary>
    internal string Late =>
        WeeksPast switch
        {
            null => "",
            0 => " (under a week)",
            1 => " (1 week)",
            _ => FormattableString.Invariant($" ({WeeksPast} weeks)"),
        };

    /// <summary>The alert in one phrase.</summary>
    public string Words =>
        WeeksPast switch
        {
            null => Title,
            0 => Title + ", under a week past its deadline",
            1 => Title + ", 1 week past its deadline",
            _ => FormattableString.Invariant($"{Title}, {WeeksPast} weeks past its deadline"),
        };
}

/// <summary>A response that integrated.</summary>
/// <param name="Item">The item's name.</param>
/// <param name="On">The day.</param>
public sealed record SummaryIntegrated(string Item, DateOnly On);

/// <summary>A child in a summary.</summary>
public sealed record SummaryChild
{
    /// <summary>The child.</summary>
    public required Guid Id { get; init; }

    /// <summary>The code.</summary>
    public required string Code { get; init; }

    /// <summary>Family name and given name; null where children are not named.</summary>
    public required string? Name { get; init; }

    /// <summary>The birth date; null where children are not named.</summary>
    public required DateOnly? BornOn { get; init; }

    /// <summary>The ages on the day.</summary>
    public required ChildAges Ages { get; init; }

    /// <summary>The clinician who is responsible on the day.</summary>
    public required string? Clinician { get; init; }

    /// <summary>The travel zone.</summary>
    public required string? Zone { get; init; }

    /// <summary>The last visit.</summary>
    public required DateOnly? LastVisitOn { get; init; }

    /// <summary>The next planned visit.</summary>
    public required DateOnly? NextVisitOn { get; init; }

    /// <summary>Every item, in the order of the reference set.</summary>
    public required IReadOnlyList<SummaryItem> Items { get; init; }

    /// <summary>Open alerts, the most severe first.</summary>
    public required IReadOnlyList<SummaryAlert> Alerts { get; init; }

    /// <summary>Responses that integrated since the day asked for, latest first.</summary>
    public required IReadOnlyList<SummaryIntegrated> Integrated { get; init; }

    /// <summary>Checks that may be done within the coming fourteen days, overdue ones included, by their last day.</summary>
    public required IReadOnlyList<SummaryItem> Checks { get; init; }

    /// <summary>Name and code, or the code alone.</summary>
    public string Label => Name is null ? Code : $"{Name} ({Code})";

    /// <summary>The item that asks for most attention and, of several, for longest; null when none asks for any.</summary>
    public SummaryItem? Worst =>
        Items
            .Where(item => item.Concern > Concern.None)
            .OrderByDescending(item => item.Concern)
            .ThenBy(item => item.SinceOn)
            .FirstOrDefault();

    /// <summary>How much attention the child asks for.</summary>
    public Concern Attention
    {
        get
        {
            var items = Worst?.Concern ?? Concern.None;
            return Alerts.Count > 0 && Alerts[0].Severity > items ? Alerts[0].Severity : items;
        }
    }

    /// <summary>The worst status in words.</summary>
    public string WorstWords => Worst is { } worst ? $"{worst.Item}: {worst.Words.ToLowerInvariant()}" : "As expected";

    /// <summary>The alerts in phrases, those of one kind together: the most severe first, the weeks past the deadline in brackets.</summary>
    public IEnumerable<string> AlertWords =>
        Alerts
            .GroupBy(alert => (alert.Kind, alert.Step))
            .Select(group =>
                group.Count() == 1
                    ? group.First().Words
                    : $"{KindWords(group.Key.Kind, group.Key.Step)}: {string.Join("; ", group.Select(alert => alert.Item + alert.Late))}"
            );

    /// <summary>The checks in phrases, those with the same last day together: what is overdue first.</summary>
    public IEnumerable<string> CheckWords =>
        Checks
            .GroupBy(item => item.Check!.Span.Through)
            .Select(group =>
                $"{(group.Key < Ages.On ? "overdue since" : "by")} {Dates.Full(group.Key)}: {string.Join("; ", group.Select(item => item.Item))}"
            );

    private static string KindWords(AlertKind kind, int step) =>
        AlertText.Of(kind)
        + step switch
        {
            1 => ", past the usual age",
            2 => ", past the latest limit",
            _ => "",
        };

    /// <summary>How many of the checks are overdue on the day.</summary>
    public int OverdueCount => Checks.Count(item => item.Check!.IsOverdue(Ages.On));
}
