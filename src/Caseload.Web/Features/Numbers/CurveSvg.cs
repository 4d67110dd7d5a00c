using System.Globalization;
using System.Text;
using Caseload.Web.Platform.Numbers;

namespace Caseload.Web.Features.Numbers;

/// <summary>Draws when a response integrates: what is known as a line, what may be as a box, the bounds as a band, the published window behind it.</summary>
public static class CurveSvg
{
    private const double Left = 44;
    private const double Top = 12;
    private const double Width = 620;
    private const double Height = 240;

    /// <summary>The drawing.</summary>
    public static string Write(IntegrationCurve curve)
    {
        var last = curve.Points[^1].Months;
        var text = new StringBuilder();
        text.Append(
            Say($"<svg viewBox=\"0 0 {Left + Width + 10} {Top + Height + 40}\" class=\"curve\" role=\"img\" aria-label=\"{Title(curve)}\">")
        );
        if (curve.UsualFromMonths is { } from && curve.UsualThroughMonths is { } through)
        {
            text.Append(
                Say(
                    $"<rect class=\"published\" x=\"{X(from)}\" y=\"{Top}\" width=\"{Math.Max(2, X(through) - X(from))}\" height=\"{Height}\"/>"
                )
            );
        }
        for (var share = 0; share <= 4; share++)
        {
            text.Append(
                Say(
                    $"<path class=\"grid\" d=\"M{Left} {Y(share / 4.0)}h{Width}\"/><text class=\"axis\" x=\"{Left - 6}\" y=\"{Y(share / 4.0) + 4}\" text-anchor=\"end\">{25 * share} %</text>"
                )
            );
        }
        for (var month = 0; month <= last; month += 3)
        {
            text.Append(Say($"<text class=\"axis\" x=\"{X(month)}\" y=\"{Top + Height + 18}\" text-anchor=\"middle\">{month}</text>"));
        }
        text.Append(
            Say(
                $"<text class=\"axis\" x=\"{Left + (Width / 2)}\" y=\"{Top + Height + 36}\" text-anchor=\"middle\">months of corrected age</text>"
            )
        );
        text.Append("<path class=\"band\" d=\"").Append(Outline(point => point.Bounds.Upper, point => point.Bounds.Lower)).Append("\"/>");
        text.Append("<path class=\"box\" d=\"").Append(Outline(point => point.Most, point => point.Least)).Append("\"/>");
        text.Append("<path class=\"line\" d=\"").Append(Certain(point => point.Least)).Append("\"/>");
        return text.Append("</svg>").ToString();

        double X(double month) => Left + (Math.Min(month, last) / last * Width);
        double Y(double share) => Top + ((1 - share) * Height);

        // Between two months nothing is interpolated: what is certain stays as it was, and what may be is already as it will be.
        string Certain(Func<CurvePoint, double> shareOf) =>
            string.Concat(
                curve.Points.Select(
                    (point, index) => Say($"{(index == 0 ? 'M' : 'H')}{X(point.Months)}{(index == 0 ? ' ' : 'V')}{Y(shareOf(point))}")
                )
            );

        string Outline(Func<CurvePoint, double> upper, Func<CurvePoint, double> lower)
        {
            var back = curve.Points.Reverse().ToList();
            return Certain(lower)
                + Say($"V{Y(upper(back[0]))}")
                + string.Concat(back.Zip(back.Skip(1), (later, earlier) => Say($"H{X(earlier.Months)}V{Y(upper(earlier))}")))
                + "Z";
        }
    }

    private static string Title(IntegrationCurve curve) =>
        System.Text.Encodings.Web.HtmlEncoder.Default.Encode(
            $"{curve.ItemName}: share of {curve.Count} children in whom it has integrated, by age; the table below has the figures"
        );

    private static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
