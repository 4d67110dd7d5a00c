using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using Caseload.Domain;
using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>Writes the plot of what each source says as one string of markup.</summary>
public static class SourcePlotSvg
{
    private const double HalfBar = 5;
    private const double WordX = 108;
    private const double ValueX = SourcePlotLayout.Right + 12;

    /// <summary>One heading and one drawing for every panel.</summary>
    public static string Write(SourcePlotLayout layout, string itemName)
    {
        var svg = new StringBuilder(8 * 1024);
        foreach (var panel in layout.Panels)
        {
            svg.Append("<h3>").Append(Encode(panel.Title)).Append("</h3>");
            Append(
                svg,
                $"<svg viewBox=\"0 0 {SourcePlotLayout.Width} {panel.Height}\" role=\"img\" aria-label=\"{Encode(itemName + ", " + panel.Title)}; the table below has the same figures\" xmlns=\"http://www.w3.org/2000/svg\">"
            );
            AppendOwn(svg, panel);
            AppendAxis(svg, panel);
            foreach (var bar in panel.Bars)
            {
                AppendBar(svg, bar);
            }
            svg.Append("</svg>");
        }
        return svg.ToString();
    }

    /// <summary>A bar by itself, for the legend.</summary>
    public static string WriteSample(Certainty certainty)
    {
        var svg = new StringBuilder("<svg viewBox=\"0 0 34 16\" aria-hidden=\"true\">");
        Append(
            svg,
            $"<rect class=\"bar {certainty.ToWord()}\" x=\"2\" y=\"{8 - HalfBar}\" width=\"30\" height=\"{HalfBar * 2}\" rx=\"3\"/>"
        );
        return svg.Append("</svg>").ToString();
    }

    private static void AppendOwn(StringBuilder svg, PlotPanel panel)
    {
        if (panel.Own is not { } own)
        {
            return;
        }
        var top = SourcePlotLayout.AxisHeight;
        var bottom = panel.Height - 2;
        if (own is { FromX: { } from, ThroughX: { } through })
        {
            // A single age is a line of its own kind; the band of a window lies behind every row.
            Append(
                svg,
                $"<rect class=\"own-band\" x=\"{(through > from ? from : from - 1.5)}\" y=\"{top}\" width=\"{Math.Max(through - from, 3)}\" height=\"{bottom - top}\"/>"
            );
        }
        if (own.LatestX is { } latest)
        {
            Append(svg, $"<line class=\"own-latest\" x1=\"{latest}\" y1=\"{top}\" x2=\"{latest}\" y2=\"{bottom}\"/>");
        }
        Append(svg, $"<text class=\"own-text\" x=\"0\" y=\"{SourcePlotLayout.OwnY + 4}\">This set schedules by</text>");
        Append(svg, $"<text class=\"own-text\" x=\"{ValueX}\" y=\"{SourcePlotLayout.OwnY + 4}\">{Encode(own.Value)}</text>");
    }

    private static void AppendAxis(StringBuilder svg, PlotPanel panel)
    {
        foreach (var tick in panel.Ticks)
        {
            Append(
                svg,
                $"<line class=\"tick\" x1=\"{tick.X}\" y1=\"{SourcePlotLayout.AxisHeight - 4}\" x2=\"{tick.X}\" y2=\"{panel.Height - 2}\"/>"
            );
            Append(svg, $"<text class=\"tick-text\" text-anchor=\"middle\" x=\"{tick.X}\" y=\"13\">{Encode(tick.Text)}</text>");
        }
    }

    private static void AppendBar(StringBuilder svg, PlotBar bar)
    {
        var kind = bar.Certainty.ToWord();
        Append(
            svg,
            $"<g class=\"figure\"><line class=\"row-line\" x1=\"0\" y1=\"{bar.Y - 12}\" x2=\"{SourcePlotLayout.Width}\" y2=\"{bar.Y - 12}\"/>"
        );
        Append(
            svg,
            $"<text class=\"key\" x=\"0\" y=\"{bar.Y + 4}\">{Encode(bar.IsCommonPractice ? "common practice" : bar.Source)}</text>"
        );
        Append(svg, $"<text class=\"word\" x=\"{WordX}\" y=\"{bar.Y + 4}\">{Encode(FigureText.InAWord(bar.Certainty))}</text>");
        if (bar.Length > 0)
        {
            Append(
                svg,
                $"<rect class=\"bar {kind}\" x=\"{bar.X}\" y=\"{bar.Y - HalfBar}\" width=\"{bar.Length}\" height=\"{HalfBar * 2}\" rx=\"3\"/>"
            );
        }
        else
        {
            Append(svg, $"<path class=\"bar {kind}\" d=\"M{bar.X} {bar.Y - 6}l6 6l-6 6l-6 -6z\"/>");
        }
        Append(svg, $"<text class=\"value\" x=\"{ValueX}\" y=\"{bar.Y + 4}\">{Encode(bar.Value)}{(bar.HasRemark ? " *" : "")}</text></g>");
    }

    private static void Append(StringBuilder svg, FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture));

    private static string Encode(string text) => HtmlEncoder.Default.Encode(text);
}
