using System.Globalization;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Platform.Paper;
using Caseload.Web.Ui;
using PdfSharp.Drawing;

namespace Caseload.Web.Platform.Summaries;

/// <summary>Writes a summary as pages: the counts and their picture, then a row for each child.</summary>
public static class SummaryPaper
{
    private const double Small = 8.6;

    /// <summary>Writes it.</summary>
    /// <param name="summary">The summary.</param>
    /// <param name="zone">The programme's time zone, which decides the size of the sheet.</param>
    /// <param name="output">Where to.</param>
    /// <param name="progress">Told how many children of how many are on paper.</param>
    /// <param name="ct">Cancels.</param>
    public static void Write(
        CaseloadSummary summary,
        TimeZoneInfo zone,
        Stream output,
        IProgress<SummaryProgress>? progress,
        CancellationToken ct
    )
    {
        var head = summary.Head;
        using var paper = new PaperDocument(
            PaperSheet.Of(zone, isLandscape: true),
            new PaperFrame(
                head.Title,
                head.Programme,
                "en",
                $"{head.Programme} · {head.Title} · {head.Made} · Figures from reference set {head.SetKey}",
                FirstResponses.Caution
            )
        );
        paper.Heading(head.Title, 1);
        paper.Paragraph(new PaperText($"{head.Programme}. {head.Scope}. {head.Made}.", PaperTone.Quiet), Small);
        WriteFigures(paper, summary);
        if (summary.Children.Count == 0)
        {
            paper.Paragraph("No child matches.", 10);
        }
        else
        {
            var done = 0;
            paper.Heading("Children, those that ask for most attention first", 2);
            paper.Table(Columns(head), summary.Children, onRow: Next);

            void Next()
            {
                ct.ThrowIfCancellationRequested();
                progress?.Report(new SummaryProgress(++done, summary.Children.Count));
            }
        }
        paper.SaveTo(output);
    }

    private static void WriteFigures(PaperDocument paper, CaseloadSummary summary)
    {
        var figures = summary.Figures;
        var head = summary.Head;
        paper.Space(4);
        paper.Paragraph(new PaperText(figures.Children == 1 ? "1 child" : $"{figures.Children} children", IsBold: true), 11);
        if (figures.Children > 0)
        {
            paper.Draw(18, (page, x, y) => DrawBar(page, figures, x, y, paper.Width));
            paper.Space(3);
        }
        paper.Facts(
            [
                .. figures.ByAttention.Select(pair => new PaperFact(
                    $"{pair.Count.ToString(CultureInfo.InvariantCulture)}  ({figures.ShareOf(pair.Count)})",
                    Labels.Of(pair.Attention).ToLowerInvariant(),
                    ColourOf(pair.Attention)
                )),
            ],
            figures.ByAttention.Count
        );
        paper.Facts([.. figures.Others.Select(FactOf)], figures.Others.Count / 2);
        paper.Paragraph(new PaperText($"Integrated counts what happened after {Dates.Full(head.Ask.SinceOn)}.", PaperTone.Quiet), Small);
    }

    private static PaperFact FactOf(SummaryFigure figure) =>
        new(figure.Count.ToString(CultureInfo.InvariantCulture) + (figure.Share is { } share ? $"  ({share})" : ""), figure.What, null);

    private static XColor ColourOf(Concern attention)
    {
        var (red, green, blue) = AttentionBar.Shade(attention);
        return XColor.FromArgb(red, green, blue);
    }

    private static void DrawBar(XGraphics page, SummaryFigures figures, double left, double top, double width)
    {
        foreach (var part in AttentionBar.Of(figures))
        {
            var (red, green, blue) = AttentionBar.Shade(part.Attention);
            page.DrawRectangle(new XSolidBrush(XColor.FromArgb(red, green, blue)), left + part.X * width, top, part.Width * width, 14);
            page.DrawString(
                part.Label,
                PaperFonts.Of(8.5, isBold: true),
                AttentionBar.IsDark(part.Attention) ? XBrushes.White : XBrushes.Black,
                new XRect(left + part.X * width, top, part.Width * width, 14),
                XStringFormats.Center
            );
        }
    }

    private static List<PaperColumn<SummaryChild>> Columns(SummaryHead head) =>
        [
            new(
                "Child",
                head.HasNames ? 13 : 6,
                child => new PaperText(child.Name is null ? child.Code : $"{child.Name}\n{child.Code}", IsBold: true)
            ),
            new("Age", 9, child => $"{Dates.Leading(child.Ages)}{(child.BornOn is { } on ? $"\nborn {Dates.Full(on)}" : "")}"),
            new("Clinician, zone", 10, child => Lines(child.Clinician ?? "no clinician", child.Zone)),
            new(
                "Last visit, next",
                10,
                child =>
                    Lines(
                        child.LastVisitOn is { } on ? Dates.Full(on) : "no visit yet",
                        child.NextVisitOn is { } next ? "next " + Dates.Full(next) : null
                    )
            ),
            new("Worst status", 17, child => new PaperText(child.WorstWords, ToneOf(child.Attention), child.Attention >= Concern.Act)),
            new("Open alerts", 27, child => string.Join('\n', child.AlertWords)),
            new("Checks due in 14 days", 22, child => string.Join('\n', child.CheckWords)),
            new("Integrated", 11, child => string.Join('\n', child.Integrated.Select(line => $"{line.Item}, {Dates.Full(line.On)}"))),
        ];

    private static PaperTone ToneOf(Concern attention) =>
        attention switch
        {
            >= Concern.Act => PaperTone.Urgent,
            Concern.Advisory => PaperTone.Notice,
            _ => PaperTone.Plain,
        };

    private static string Lines(string first, string? second) => second is null ? first : $"{first}\n{second}";
}
