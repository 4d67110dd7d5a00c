using System.Globalization;
using System.Net;
using System.Text;
using Caseload.Data.Mail;

namespace Caseload.Web.Platform.Digests;

/// <summary>A digest as HTML for mail: one column, everything inline, nothing fetched; text keeps the reader's own colours, light or dark.</summary>
public static class DigestHtml
{
    // Both stand out from white and from black.
    private const string PersistingColour = "#00808a";
    private const string OverdueColour = "#b36b00";
    private const string Link = "color:inherit;text-decoration:underline";
    private const string Head = "font-size:18px;line-height:1.3;margin:26px 0 6px;padding-top:12px;border-top:1px solid #8a9a9c";
    private const string Item = "margin:0 0 10px;padding:0";
    private const string Quiet = "font-size:14px;margin:0 0 8px;opacity:0.85";

    /// <summary>Writes.</summary>
    /// <param name="content">The digest.</param>
    /// <param name="digestId">Its id.</param>
    /// <param name="hasStop">Whether to say how to stop it; in the mail alone.</param>
    public static string Write(DigestContent content, Guid digestId, bool hasStop)
    {
        var document = DigestDocument.Of(content);
        var children = content.Children.ToDictionary(child => child.Id);
        var html = new StringBuilder();
        html.Append("<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">")
            .Append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">")
            .Append("<meta name=\"color-scheme\" content=\"light dark\"><meta name=\"supported-color-schemes\" content=\"light dark\">")
            .Append(
                CultureInfo.InvariantCulture,
                $"<title>{Safe(DigestWords.SubjectOf(content))}</title></head>\n<body style=\"margin:0;padding:0\">\n"
            )
            .Append("<div style=\"max-width:600px;margin:0 auto;padding:16px;font-family:'Segoe UI',Roboto,Helvetica,Arial,sans-serif;")
            .Append("font-size:16px;line-height:1.45;overflow-wrap:anywhere\">\n")
            .Append(
                CultureInfo.InvariantCulture,
                $"<p style=\"{Quiet}\">Caseload {(content.Team is null ? "digest" : "team digest")}</p>\n"
            )
            .Append(
                CultureInfo.InvariantCulture,
                $"<h1 style=\"font-size:24px;line-height:1.2;margin:0 0 8px\">{Safe(document.Title)}</h1>\n"
            )
            .Append(CultureInfo.InvariantCulture, $"<p style=\"margin:0 0 8px\">{Safe(document.Lead)}</p>\n")
            .Append(
                CultureInfo.InvariantCulture,
                $"<p style=\"margin:0\"><a href=\"{DigestText.DigestLink(digestId)}\" style=\"{Link};display:inline-block;padding:10px 0\">"
            )
            .Append("Sign in for names and details</a></p>\n");
        if (content.Team is { } team)
        {
            WriteTeam(html, team);
        }
        foreach (var section in document.Sections)
        {
            WriteSection(html, section, children);
        }
        if (document.Closing is { } closing)
        {
            html.Append(
                CultureInfo.InvariantCulture,
                $"<p style=\"margin:26px 0 0;padding-top:12px;border-top:1px solid #8a9a9c\">{Safe(closing)}</p>\n"
            );
        }
        html.Append(CultureInfo.InvariantCulture, $"<p style=\"{Quiet};margin-top:16px\">{Safe(DigestWords.Caution)}</p>\n");
        if (hasStop)
        {
            html.Append(
                    CultureInfo.InvariantCulture,
                    $"<p style=\"{Quiet}\">You get this because you asked for the weekly digest by mail. On its page it stands in any case. "
                )
                .Append(CultureInfo.InvariantCulture, $"<a href=\"{OutgoingMessage.StopMark}\" style=\"{Link}\">Stop the mail</a></p>\n");
        }
        return html.Append("</div>\n</body></html>\n").ToString();
    }

    private static void WriteSection(StringBuilder html, DigestSection section, Dictionary<Guid, DigestChild> children)
    {
        html.Append(
                CultureInfo.InvariantCulture,
                $"<h2 style=\"{Head}\">{Safe(section.Title)} ({DigestWords.Number(section.Count)})</h2>\n"
            )
            .Append(
                CultureInfo.InvariantCulture,
                $"<p style=\"{Quiet}\">{Safe(section.Note)}</p>\n<ul style=\"margin:0;padding:0;list-style:none\">\n"
            );
        foreach (var line in section.Lines.Take(DigestText.MostLines))
        {
            var name = Safe(DigestWords.NameOf(children[line.ChildId]));
            html.Append(
                    CultureInfo.InvariantCulture,
                    $"<li style=\"{Item}\"><a href=\"{OutgoingMessage.SiteMark}/children/{line.ChildId}\" style=\"{Link}\"><strong>{name}</strong></a>"
                )
                .Append(CultureInfo.InvariantCulture, $" {Safe(line.Text)}");
            if (line.Tag is not null)
            {
                html.Append(CultureInfo.InvariantCulture, $"; <strong>{Safe(line.Tag)}</strong>");
            }
            foreach (var detail in DigestText.DetailsOf(line))
            {
                html.Append(CultureInfo.InvariantCulture, $"<br><span style=\"font-size:15px\">&bull; {Safe(detail)}</span>");
            }
            html.Append("</li>\n");
        }
        html.Append("</ul>\n");
        if (section.Lines.Count > DigestText.MostLines)
        {
            html.Append(
                CultureInfo.InvariantCulture,
                $"<p style=\"{Quiet}\">and {DigestWords.Number(section.Lines.Count - DigestText.MostLines)} more on the page</p>\n"
            );
        }
    }

    private static void WriteTeam(StringBuilder html, DigestTeam team)
    {
        html.Append(
            CultureInfo.InvariantCulture,
            $"<h2 style=\"{Head}\">By clinician</h2>\n<ul style=\"margin:0;padding:0;list-style:none\">\n"
        );
        foreach (var totals in team.Clinicians)
        {
            var (numbers, alerts) = DigestDocument.TotalsOf(totals);
            html.Append(
                    CultureInfo.InvariantCulture,
                    $"<li style=\"{Item}\"><strong>{Safe(DigestDocument.LabelOf(totals))}</strong> {Safe(numbers)}<br>{Safe(alerts)}<br>"
                )
                .Append("<span style=\"font-size:14px\">persisting by week: ")
                .AppendJoin(' ', totals.Trend.Select(point => DigestWords.Number(point.Persisting)))
                .Append("<br>overdue by week: ")
                .AppendJoin(' ', totals.Trend.Select(point => DigestWords.Number(point.Overdue)))
                .Append("</span></li>\n");
        }
        html.Append(CultureInfo.InvariantCulture, $"</ul>\n<h2 style=\"{Head}\">Twelve weeks, whole programme</h2>\n")
            .Append("<table style=\"width:100%;border-collapse:collapse;font-size:14px\"><thead><tr>")
            .Append(
                "<th scope=\"col\" style=\"text-align:left;width:52px\">Week</th><th scope=\"col\" style=\"text-align:left\">Persisting</th>"
            )
            .Append("<th scope=\"col\" style=\"text-align:left\">Overdue</th></tr></thead><tbody>\n");
        var mostPersisting = team.Trend.Max(point => point.Persisting);
        var mostOverdue = team.Trend.Max(point => point.Overdue);
        foreach (var point in team.Trend)
        {
            html.Append(
                CultureInfo.InvariantCulture,
                $"<tr><th scope=\"row\" style=\"text-align:left;font-weight:normal\">W{point.Week[6..]}</th>"
            );
            WriteBar(html, point.Persisting, mostPersisting, PersistingColour);
            WriteBar(html, point.Overdue, mostOverdue, OverdueColour);
            html.Append("</tr>\n");
        }
        html.Append("</tbody></table>\n");
    }

    // Each column has its own scale, so that few persisting responses do not vanish beside many overdue checks; the number stands beside the bar.
    private static void WriteBar(StringBuilder html, int count, int most, string colour)
    {
        var width = most == 0 ? 0 : count * 70 / most;
        html.Append("<td style=\"padding:2px 8px 2px 0\">")
            .Append(
                CultureInfo.InvariantCulture,
                $"<span style=\"display:inline-block;height:10px;width:{DigestWords.Number(width)}%;background-color:{colour}\"></span> "
            )
            .Append(CultureInfo.InvariantCulture, $"{DigestWords.Number(count)}</td>");
    }

    private static string Safe(string text) => WebUtility.HtmlEncode(text);
}
