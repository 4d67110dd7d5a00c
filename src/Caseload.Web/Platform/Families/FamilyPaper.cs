using Caseload.Web.Platform.Paper;

namespace Caseload.Web.Platform.Families;

/// <summary>A page for the family as it was kept.</summary>
/// <param name="Title">Its title.</param>
/// <param name="Language">Its language.</param>
/// <param name="Parts">Its parts.</param>
/// <param name="Contact">Whom to call.</param>
/// <param name="Programme">Who gives it.</param>
/// <param name="AsOfOn">The day that it tells of.</param>
public sealed record FamilySheet(
    string Title,
    string Language,
    IReadOnlyList<FamilyPart> Parts,
    string Contact,
    string Programme,
    DateOnly AsOfOn
);

/// <summary>Writes the page for the family, in large letters.</summary>
public static class FamilyPaper
{
    private const double Text = 12.5;

    /// <summary>Writes it.</summary>
    public static void Write(FamilySheet sheet, TimeZoneInfo zone, Stream output)
    {
        var texts = FamilyTexts.Of(sheet.Language);
        using var paper = new PaperDocument(
            PaperSheet.Of(zone, isLandscape: false),
            new PaperFrame(
                sheet.Title,
                sheet.Programme,
                texts.Language,
                texts.Format("Foot", sheet.Programme, texts.Day(sheet.AsOfOn)),
                texts["Caution"],
                texts["PageOf"]
            )
        );
        paper.Heading(sheet.Title, 1);
        foreach (var part in sheet.Parts)
        {
            WritePart(paper, part.Heading, part.Text);
        }
        WritePart(paper, texts["Call.Heading"], sheet.Contact);
        paper.SaveTo(output);
    }

    private static void WritePart(PaperDocument paper, string heading, string text)
    {
        paper.Space(4);
        paper.Heading(heading, 2);
        var isAfterPoint = false;
        foreach (
            var line in text.ReplaceLineEndings("\n").Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
        )
        {
            var isPoint = line.StartsWith(FamilyPage.Point, StringComparison.Ordinal);
            if (isPoint)
            {
                paper.Bullets([line[FamilyPage.Point.Length..]], Text);
            }
            else
            {
                paper.Space(isAfterPoint ? 6 : 0);
                paper.Paragraph(line, Text);
            }
            isAfterPoint = isPoint;
        }
    }
}
