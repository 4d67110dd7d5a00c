using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Ui.Timeline;

/// <summary>Writes a timeline as SVG text: one string, however many lanes, so that a page holds no component per mark.</summary>
public static class TimelineSvg
{
    /// <summary>The drawing. Names are encoded; links lead to the item's row on the same page.</summary>
    public static string Write(TimelineLayout layout, string title, string pagePath)
    {
        var svg = new StringBuilder(16 * 1024);
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<svg viewBox=\"0 0 {layout.Width} {layout.Height}\" role=\"group\" aria-label=\"{Encode(title)}\" xmlns=\"http://www.w3.org/2000/svg\">"
        );
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<defs><pattern id=\"{HatchOf(layout)}\" width=\"6\" height=\"6\" patternTransform=\"rotate(45)\" patternUnits=\"userSpaceOnUse\"><line class=\"hatch-line\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"6\"/></pattern></defs>"
        );
        AppendAxis(svg, layout);
        for (var index = 0; index < layout.Lanes.Count; index++)
        {
            AppendLane(svg, layout, layout.Lanes[index], index % 2 == 1, pagePath);
        }
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<line class=\"today\" x1=\"{layout.TodayX}\" y1=\"{layout.Top - 6}\" x2=\"{layout.TodayX}\" y2=\"{layout.Height - 2}\"/>"
        );
        var anchor =
            layout.TodayX > layout.Width - 60 ? "end"
            : layout.TodayX < layout.LabelWidth + 40 ? "start"
            : "middle";
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<text class=\"today-text\" x=\"{layout.TodayX}\" y=\"12\" text-anchor=\"{anchor}\">{Encode(layout.TodayText)}</text>"
        );
        return svg.Append("</svg>").ToString();
    }

    /// <summary>One mark by itself, for the legend.</summary>
    public static string WriteMark(TimelineMark kind)
    {
        var svg = new StringBuilder("<svg viewBox=\"0 0 22 16\" aria-hidden=\"true\" class=\"legend-mark\">");
        AppendShape(svg, kind, 11, 8);
        return svg.Append("</svg>").ToString();
    }

    /// <summary>What a mark is called in the legend.</summary>
    public static string NameOf(TimelineMark mark) =>
        mark switch
        {
            TimelineMark.Absent => "absent",
            TimelineMark.Weak => "weak",
            TimelineMark.Typical => "typical",
            TimelineMark.Brisk => "brisk",
            TimelineMark.Obligatory => "obligatory",
            TimelineMark.Partial => "partial",
            TimelineMark.Complete => "complete",
            TimelineMark.Inconclusive => "does not count",
            TimelineMark.NotTested => "not tested",
            _ => throw new ArgumentOutOfRangeException(nameof(mark)),
        };

    private static void AppendAxis(StringBuilder svg, TimelineLayout layout)
    {
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<text class=\"tick-text\" x=\"0\" y=\"{layout.Top - 8}\">{Encode(layout.AxisTitle)}</text>"
        );
        foreach (var tick in layout.Ticks)
        {
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<line class=\"tick\" x1=\"{tick.X}\" y1=\"{layout.Top - 4}\" x2=\"{tick.X}\" y2=\"{layout.Height - 4}\"/>"
            );
            if (tick.Text.Length > 0)
            {
                svg.Append(
                    CultureInfo.InvariantCulture,
                    $"<text class=\"tick-text\" text-anchor=\"middle\" x=\"{tick.X}\" y=\"{layout.Top - 8}\">{Encode(tick.Text)}</text>"
                );
            }
        }
    }

    private static void AppendLane(StringBuilder svg, TimelineLayout layout, Lane lane, bool isOdd, string pagePath)
    {
        var right = layout.Right;
        var top = lane.Y - layout.LaneHeight / 2;
        if (isOdd)
        {
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<rect class=\"stripe\" x=\"0\" y=\"{top}\" width=\"{layout.Width}\" height=\"{layout.LaneHeight}\"/>"
            );
        }
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<a href=\"{Encode(pagePath)}#item-{lane.ItemId}\"><rect x=\"0\" y=\"{top}\" width=\"{layout.LabelWidth - 8}\" height=\"{layout.LaneHeight}\" fill=\"transparent\"/>"
        );
        svg.Append(CultureInfo.InvariantCulture, $"<text class=\"lane-name\" x=\"0\" y=\"{lane.Y - 1}\">{Encode(lane.Label)}</text>");
        svg.Append(
            CultureInfo.InvariantCulture,
            $"<text class=\"lane-state concern-{Word(lane.Concern)}\" x=\"0\" y=\"{lane.Y + 11}\">{Encode(lane.State)}</text></a>"
        );
        if (lane.ExpectedFrom is { } expected)
        {
            var end = lane.UsualFrom ?? right;
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<line class=\"expected\" x1=\"{expected}\" y1=\"{lane.Y}\" x2=\"{Math.Max(expected, end)}\" y2=\"{lane.Y}\"/>"
            );
        }
        if (lane.UsualFrom is { } from)
        {
            var through = lane.UsualThrough ?? right;
            AppendBand(svg, "usual", from, Math.Max(through, from + 2), lane.Y);
            if (lane.UsualThrough is { } deadline)
            {
                AppendBand(svg, "beyond", deadline, lane.LatestThrough ?? deadline, lane.Y, HatchOf(layout));
            }
        }
        if (lane.LatestThrough is { } limit)
        {
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<line class=\"limit\" x1=\"{limit}\" y1=\"{lane.Y - 9}\" x2=\"{limit}\" y2=\"{lane.Y + 9}\"/>"
            );
        }
        if (lane.CheckFrom is { } checkFrom && lane.CheckThrough is { } checkThrough)
        {
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<path class=\"check\" d=\"M{checkFrom} {lane.Y + 7}v4H{Math.Max(checkThrough, checkFrom + 3)}v-4\"/>"
            );
        }
        foreach (var mark in lane.Marks)
        {
            svg.Append("<g><title>").Append(Encode(lane.Name)).Append(", ").Append(Encode(mark.Text)).Append("</title>");
            var shift = mark.SideLetter switch
            {
                "L" => -5,
                "R" => 5,
                _ => 0,
            };
            AppendShape(svg, mark.Kind, mark.X, lane.Y + shift);
            if (mark.SideLetter.Length > 0)
            {
                svg.Append(
                    CultureInfo.InvariantCulture,
                    $"<text class=\"mark-text\" x=\"{mark.X + 11}\" y=\"{lane.Y + shift + 3.5}\">{mark.SideLetter}</text>"
                );
            }
            svg.Append("</g>");
        }
    }

    private static void AppendBand(StringBuilder svg, string kind, double from, double through, double y, string? fill = null)
    {
        if (through > from)
        {
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<rect class=\"{kind}\"{(fill is null ? "" : $" fill=\"url(#{fill})\"")} x=\"{from}\" y=\"{y - 7}\" width=\"{Math.Round(through - from, 1)}\" height=\"14\" rx=\"3\"/>"
            );
        }
    }

    private static void AppendShape(StringBuilder svg, TimelineMark kind, double x, double y)
    {
        switch (kind)
        {
            case TimelineMark.Absent:
                svg.Append(
                    CultureInfo.InvariantCulture,
                    $"<path class=\"mark\" d=\"M{x - 5} {y - 5}h10v10h-10z\"/><path class=\"mark\" d=\"M{x - 5} {y + 5}l10 -10\"/>"
                );
                break;
            case TimelineMark.Weak:
                svg.Append(CultureInfo.InvariantCulture, $"<circle class=\"mark-solid\" cx=\"{x}\" cy=\"{y}\" r=\"2.6\"/>");
                break;
            case TimelineMark.Typical:
                svg.Append(CultureInfo.InvariantCulture, $"<circle class=\"mark-solid\" cx=\"{x}\" cy=\"{y}\" r=\"5\"/>");
                break;
            case TimelineMark.Brisk:
                svg.Append(CultureInfo.InvariantCulture, $"<path class=\"mark-solid\" d=\"M{x} {y - 6}l6 10.5h-12z\"/>");
                break;
            case TimelineMark.Obligatory:
                svg.Append(CultureInfo.InvariantCulture, $"<path class=\"mark-solid\" d=\"M{x} {y - 7}l7 7l-7 7l-7 -7z\"/>");
                break;
            case TimelineMark.Partial:
                svg.Append(
                    CultureInfo.InvariantCulture,
                    $"<circle class=\"mark\" cx=\"{x}\" cy=\"{y}\" r=\"5.2\"/><path class=\"mark-solid\" d=\"M{x} {y - 5.2}a5.2 5.2 0 0 1 0 10.4z\"/>"
                );
                break;
            case TimelineMark.Complete:
                svg.Append(
                    CultureInfo.InvariantCulture,
                    $"<circle class=\"mark\" cx=\"{x}\" cy=\"{y}\" r=\"6.4\"/><circle class=\"mark-solid\" cx=\"{x}\" cy=\"{y}\" r=\"3.2\"/>"
                );
                break;
            case TimelineMark.Inconclusive:
                svg.Append(CultureInfo.InvariantCulture, $"<text class=\"mark-text\" x=\"{x}\" y=\"{y + 4}\">?</text>");
                break;
            case TimelineMark.NotTested:
                svg.Append(CultureInfo.InvariantCulture, $"<path class=\"mark\" d=\"M{x - 4} {y}h8\"/>");
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(kind));
        }
    }

    // Two drawings of one child stand on a page, and a pattern inside the hidden one would not be painted.
    private static string HatchOf(TimelineLayout layout) => string.Create(CultureInfo.InvariantCulture, $"hatch-{layout.Width}");

    private static string Word(Concern concern) => Caseload.Domain.EnumWords.ToWord(concern);

    private static string Encode(string text) => HtmlEncoder.Default.Encode(text);
}
