using System.Globalization;
using System.Text;
using Caseload.Data.Mail;

namespace Caseload.Web.Platform.Digests;

/// <summary>A digest as plain text, narrow enough for any screen.</summary>
public static class DigestText
{
    /// <summary>Lines of a section in a mail; the rest is counted and stands on the page.</summary>
    public const int MostLines = 20;

    private const int MostDetails = 8;
    private const int Columns = 72;

    /// <summary>The footer of the mail alone: how to stop it.</summary>
    public const string StopFooter =
        $"You get this because you asked for the weekly digest by mail. On its\npage it stands in any case. Stop the mail: {OutgoingMessage.StopMark}\n";

    /// <summary>Writes.</summary>
    public static string Write(DigestContent content, Guid digestId)
    {
        var document = DigestDocument.Of(content);
        var names = content.Children.ToDictionary(child => child.Id, DigestWords.NameOf);
        var text = new StringBuilder();
        text.Append("CASELOAD ")
            .Append(content.Team is null ? "DIGEST" : "TEAM DIGEST")
            .Append(", ")
            .AppendLine(document.Title.ToUpperInvariant());
        Wrap(text, document.Lead, "", "");
        text.AppendLine().AppendLine("Sign in for names and details:").AppendLine(DigestLink(digestId));
        if (content.Team is { } team)
        {
            WriteTeam(text, team);
        }
        foreach (var section in document.Sections)
        {
            Head(text, $"{section.Title} ({DigestWords.Number(section.Count)})");
            foreach (var line in section.Lines.Take(MostLines))
            {
                Wrap(text, $"{names[line.ChildId]}: {line.Text}{(line.Tag is null ? "" : "; " + line.Tag)}", "- ", "  ");
                foreach (var detail in DetailsOf(line))
                {
                    Wrap(text, detail, "    ", "      ");
                }
            }
            if (section.Lines.Count > MostLines)
            {
                text.AppendLine(
                    CultureInfo.InvariantCulture,
                    $"  and {DigestWords.Number(section.Lines.Count - MostLines)} more on the page"
                );
            }
        }
        if (document.Closing is { } closing)
        {
            text.AppendLine();
            Wrap(text, closing, "", "");
        }
        text.AppendLine();
        Wrap(text, DigestWords.Caution, "", "");
        return text.ToString().ReplaceLineEndings("\n");
    }

    /// <summary>What a line consists of, as far as a mail says it.</summary>
    internal static IEnumerable<string> DetailsOf(DigestLine line) =>
        line.Details.Count <= MostDetails
            ? line.Details
            : line.Details.Take(MostDetails - 1).Append($"and {DigestWords.Number(line.Details.Count - MostDetails + 1)} more on the page");

    /// <summary>The address of a digest's page.</summary>
    public static string DigestLink(Guid digestId) => $"{OutgoingMessage.SiteMark}/digests/{digestId}";

    private static void WriteTeam(StringBuilder text, DigestTeam team)
    {
        Head(text, "By clinician");
        foreach (var totals in team.Clinicians)
        {
            var (numbers, alerts) = DigestDocument.TotalsOf(totals);
            Wrap(text, $"{DigestDocument.LabelOf(totals)}: {numbers}", "- ", "  ");
            Wrap(text, alerts, "  ", "  ");
            Wrap(text, $"persisting by week: {Series(totals.Trend, point => point.Persisting)}", "  ", "    ");
            Wrap(text, $"overdue by week:    {Series(totals.Trend, point => point.Overdue)}", "  ", "    ");
        }
        Head(text, "Twelve weeks, whole programme");
        text.AppendLine("Week  Persisting  Overdue");
        foreach (var point in team.Trend)
        {
            text.Append('W').Append(point.Week[6..]).Append(DigestWords.Number(point.Persisting).PadLeft(13));
            text.AppendLine(DigestWords.Number(point.Overdue).PadLeft(9));
        }
    }

    private static string Series(IEnumerable<DigestPoint> trend, Func<DigestPoint, int> of) =>
        string.Join(' ', trend.Select(point => DigestWords.Number(of(point))));

    private static void Head(StringBuilder text, string title) =>
        text.AppendLine().AppendLine(title.ToUpperInvariant()).AppendLine(new string('-', title.Length));

    private static void Wrap(StringBuilder text, string words, string first, string next)
    {
        var line = new StringBuilder(first);
        var isFresh = true;
        foreach (var word in words.Split(' '))
        {
            if (!isFresh && line.Length + 1 + word.Length > Columns)
            {
                text.AppendLine(line.ToString().TrimEnd());
                line.Clear().Append(next);
                isFresh = true;
            }
            line.Append(isFresh ? "" : " ").Append(word);
            isFresh = false;
        }
        text.AppendLine(line.ToString().TrimEnd());
    }
}
