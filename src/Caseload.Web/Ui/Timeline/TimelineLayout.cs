using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Web.Ui.Timeline;

/// <summary>Which age the timeline's axis is labelled in.</summary>
public enum TimelineAxis
{
    /// <summary>Months of corrected age.</summary>
    Corrected,

    /// <summary>Months since birth.</summary>
    Chronological,
}

/// <summary>What a mark on a lane stands for; every shape is drawn differently, so that colour is never needed.</summary>
public enum TimelineMark
{
    /// <summary>Looked for and absent.</summary>
    Absent,

    /// <summary>Weak.</summary>
    Weak,

    /// <summary>Typical.</summary>
    Typical,

    /// <summary>Brisk.</summary>
    Brisk,

    /// <summary>Obligatory.</summary>
    Obligatory,

    /// <summary>Partial.</summary>
    Partial,

    /// <summary>Complete.</summary>
    Complete,

    /// <summary>Looked at and cannot count.</summary>
    Inconclusive,

    /// <summary>Could not be tested.</summary>
    NotTested,
}

/// <summary>A finding on a lane.</summary>
/// <param name="X">Centre.</param>
/// <param name="Kind">Shape.</param>
/// <param name="SideLetter">L or R for a finding of one side; empty otherwise.</param>
/// <param name="Text">The whole finding in words.</param>
public sealed record LaneMark(double X, TimelineMark Kind, string SideLetter, string Text);

/// <summary>One item's lane.</summary>
/// <param name="ItemId">The item.</param>
/// <param name="Name">Its name.</param>
/// <param name="State">Where the child stands, in words.</param>
/// <param name="Concern">How much attention it asks for.</param>
/// <param name="Y">Centre of the lane.</param>
/// <param name="ExpectedFrom">Left end of the line on which it is expected; null when off the chart.</param>
/// <param name="UsualFrom">Left end of the usual window.</param>
/// <param name="UsualThrough">Right end of the usual window.</param>
/// <param name="LatestThrough">The latest published limit.</param>
/// <param name="CheckFrom">Left end of the next check.</param>
/// <param name="CheckThrough">Right end of the next check.</param>
/// <param name="Marks">Findings.</param>
public sealed record Lane(
    string ItemId,
    string Name,
    string State,
    Concern Concern,
    double Y,
    double? ExpectedFrom,
    double? UsualFrom,
    double? UsualThrough,
    double? LatestThrough,
    double? CheckFrom,
    double? CheckThrough,
    IReadOnlyList<LaneMark> Marks
)
{
    private const int LongestLabel = 34;

    /// <summary>The name as far as there is room for it.</summary>
    public string Label => Name.Length <= LongestLabel ? Name : Name[..(LongestLabel - 1)] + "…";
}

/// <summary>A label on the axis.</summary>
/// <param name="X">Where.</param>
/// <param name="Text">What it says; empty for a line only.</param>
public sealed record AxisTick(double X, string Text);

/// <summary>Where everything on a child's timeline goes, in units of the drawing. Drawn by a writer; the layout knows no format.</summary>
/// <param name="Width">Whole width.</param>
/// <param name="Height">Whole height.</param>
/// <param name="LabelWidth">Width of the names on the left.</param>
/// <param name="Top">Height of the axis at the top.</param>
/// <param name="LaneHeight">Height of a lane.</param>
/// <param name="TodayX">The line of the day asked about.</param>
/// <param name="TodayText">Its label.</param>
/// <param name="AxisTitle">What the axis counts.</param>
/// <param name="Ticks">Months.</param>
/// <param name="Lanes">Items.</param>
public sealed record TimelineLayout(
    double Width,
    double Height,
    double LabelWidth,
    double Top,
    double LaneHeight,
    double TodayX,
    string TodayText,
    string AxisTitle,
    IReadOnlyList<AxisTick> Ticks,
    IReadOnlyList<Lane> Lanes
)
{
    /// <summary>The width for a screen held across, and for paper.</summary>
    public const double Wide = 1080;

    /// <summary>The width for a tablet held upright, where the wide drawing would shrink its letters.</summary>
    public const double Narrow = 660;

    private const double NameWidth = 196;
    private const double AxisHeight = 34;
    private const double HeightOfLane = 30;
    private const double RightMargin = 14;

    /// <summary>Right end of the lanes.</summary>
    public double Right => Width - RightMargin;

    /// <summary>Lays out the chosen items of a child.</summary>
    /// <param name="birth">The child's birth.</param>
    /// <param name="anchorOn">The day from which ages in months count.</param>
    /// <param name="results">The items to show, in order.</param>
    /// <param name="standing">The findings that stand.</param>
    /// <param name="todayOn">The day asked about.</param>
    /// <param name="axis">Which age labels the axis.</param>
    /// <param name="width">The drawing's width in its own units.</param>
    public static TimelineLayout Of(
        BirthFacts birth,
        DateOnly anchorOn,
        IReadOnlyList<ItemResult> results,
        IReadOnlyCollection<Finding> standing,
        DateOnly todayOn,
        TimelineAxis axis,
        double width = Wide
    )
    {
        var firstOn = birth.BornOn;
        var lastOn = LastDay(birth, anchorOn, todayOn);
        var scale = (width - NameWidth - RightMargin) / Math.Max(1, lastOn.DayNumber - firstOn.DayNumber);
        var findings = standing.ToLookup(finding => finding.Item);
        var lanes = results
            .Select(
                (result, index) =>
                    new Lane(
                        result.Item.Id,
                        result.Item.Name,
                        Labels.Of(result.State),
                        result.Verdict.Concern,
                        AxisHeight + (index + 0.5) * HeightOfLane,
                        Clamp(result.ExpectedFromOn),
                        Clamp(result.UsualThroughOn is null ? null : result.UsualFromOn),
                        Clamp(result.UsualThroughOn),
                        result.LatestThroughOn is { } latest && latest <= lastOn ? X(latest) : null,
                        Clamp(result.NextCheck?.Span.From),
                        result.NextCheck is null ? null : Clamp(result.NextCheck.Span.Through) ?? X(lastOn),
                        [
                            .. findings[result.Item.Id]
                                .Where(finding => finding.ObservedOn <= lastOn)
                                .OrderBy(finding => finding.ObservedOn)
                                .Select(finding => MarkOf(finding, result.Item, X(finding.ObservedOn))),
                        ]
                    )
            )
            .ToArray();
        var isCorrected = axis == TimelineAxis.Corrected && anchorOn != birth.BornOn;
        return new TimelineLayout(
            width,
            AxisHeight + lanes.Length * HeightOfLane + 6,
            NameWidth,
            AxisHeight,
            HeightOfLane,
            X(todayOn < firstOn ? firstOn : todayOn),
            todayOn.ToString("d MMM yyyy", CultureInfo.InvariantCulture),
            isCorrected ? "Months, corrected" : "Months since birth",
            TicksOf(isCorrected ? anchorOn : birth.BornOn, firstOn, lastOn, X, scale),
            lanes
        );

        double X(DateOnly on) => Math.Round(NameWidth + (on.DayNumber - firstOn.DayNumber) * scale, 1);

        double? Clamp(DateOnly? on) => on is not { } day || day > lastOn ? null : X(day < firstOn ? firstOn : day);
    }

    private static DateOnly LastDay(BirthFacts birth, DateOnly anchorOn, DateOnly todayOn)
    {
        // A year of the child's life at least, and always enough ahead of today to see what comes next.
        var ahead = todayOn.AddDays(120);
        var year = anchorOn.AddMonths(12);
        var last = ahead > year ? ahead : year;
        return last > birth.BornOn ? last : birth.BornOn.AddDays(1);
    }

    private static List<AxisTick> TicksOf(
        DateOnly originOn,
        DateOnly firstOn,
        DateOnly lastOn,
        Func<DateOnly, double> x,
        double unitsPerDay
    )
    {
        var ticks = new List<AxisTick>();
        var months = (lastOn.DayNumber - firstOn.DayNumber) / 30;
        var step =
            months > 26 ? 3
            : months > 15 ? 2
            : 1;
        for (var month = -6; originOn.AddMonths(month) <= lastOn; month++)
        {
            var on = originOn.AddMonths(month);
            if (on >= firstOn)
            {
                ticks.Add(new AxisTick(x(on), month % step == 0 ? month.ToString(CultureInfo.InvariantCulture) : ""));
            }
        }
        return ticks;
    }

    private static LaneMark MarkOf(Finding finding, ReferenceItem item, double x)
    {
        var day = finding.ObservedOn.ToString("d MMM yyyy", CultureInfo.InvariantCulture);
        var side = finding.Side == Side.Both ? "" : finding.Side.ToWord() + ", ";
        var letter = finding.Side switch
        {
            Side.Left => "L",
            Side.Right => "R",
            _ => "",
        };
        if (finding.Response is not { } response)
        {
            return new LaneMark(
                x,
                TimelineMark.NotTested,
                letter,
                $"{day}: {side}could not be tested, {Labels.Of(finding.NotTested ?? NotTestedReason.Excluded)}"
            );
        }
        var words = $"{day}: {side}{response.ToWord()}" + (finding.State is { } state ? $", {Labels.Of(state)}" : "");
        return finding.State is { } known && !item.Suits(known)
            ? new LaneMark(x, TimelineMark.Inconclusive, letter, words + " (does not count: not a suitable state)")
            : new LaneMark(x, Enum.Parse<TimelineMark>(response.ToString()), letter, words);
    }
}
