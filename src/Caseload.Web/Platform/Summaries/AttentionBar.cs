using System.Globalization;
using System.Text;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Platform.Summaries;

/// <summary>A part of the bar at the top of a summary.</summary>
/// <param name="Attention">Which degree of attention.</param>
/// <param name="X">Its left edge, as a share of the width.</param>
/// <param name="Width">Its width, as a share of the width.</param>
/// <param name="Label">The count, where there is room for it.</param>
public sealed record AttentionPart(Concern Attention, double X, double Width, string Label);

/// <summary>The small picture at the top of a summary: how many children ask for how much attention. One layout for screen and paper.</summary>
public static class AttentionBar
{
    /// <summary>Below this share of the width a part has no room for its count.</summary>
    private const double NarrowestLabel = 0.03;

    /// <summary>Lays it out: one part for each degree that has children, most attention first.</summary>
    public static IReadOnlyList<AttentionPart> Of(SummaryFigures figures)
    {
        var parts = new List<AttentionPart>();
        var x = 0.0;
        foreach (var (attention, count) in figures.ByAttention.Where(pair => pair.Count > 0))
        {
            var width = (double)count / figures.Children;
            parts.Add(new AttentionPart(attention, x, width, width < NarrowestLabel ? "" : count.ToString(CultureInfo.InvariantCulture)));
            x += width;
        }
        return parts;
    }

    /// <summary>How dark a degree is drawn: shades of one colour, so that print and the colour-blind tell them apart.</summary>
    public static (byte Red, byte Green, byte Blue) Shade(Concern attention) =>
        attention switch
        {
            Concern.SameDay => (0x7d, 0x16, 0x12),
            Concern.Act => (0xa8, 0x4a, 0x2c),
            Concern.Advisory => (0xd0, 0x96, 0x5f),
            Concern.Watch => (0xe9, 0xd3, 0xb0),
            _ => (0xd5, 0xe4, 0xe2),
        };

    /// <summary>Whether letters on a degree's shade must be light.</summary>
    public static bool IsDark(Concern attention) => attention >= Concern.Act;

    /// <summary>The bar as SVG text.</summary>
    public static string WriteSvg(SummaryFigures figures)
    {
        var svg = new StringBuilder(
            "<svg class=\"attention-bar\" viewBox=\"0 0 1000 44\" preserveAspectRatio=\"none\" aria-hidden=\"true\">"
        );
        foreach (var part in Of(figures))
        {
            var (red, green, blue) = Shade(part.Attention);
            svg.Append(
                CultureInfo.InvariantCulture,
                $"<rect x=\"{Math.Round(part.X * 1000, 2)}\" y=\"0\" width=\"{Math.Round(part.Width * 1000, 2)}\" height=\"44\" fill=\"#{red:x2}{green:x2}{blue:x2}\"/>"
            );
        }
        return svg.Append("</svg>").ToString();
    }
}
