using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Platform.Paper;
using Caseload.Web.Ui;
using Caseload.Web.Ui.Timeline;

namespace Caseload.Web.Platform.Reports;

/// <summary>Writes a child's report as pages.</summary>
public static class ReportPaper
{
    private const double Text = 9;
    private const double Small = 7.8;

    /// <summary>Writes it.</summary>
    public static void Write(ChildReport report, TimeZoneInfo zone, Stream output)
    {
        var made = $"Made by {report.MadeBy} on {Dates.Minute(report.MadeAt)}";
        using var paper = new PaperDocument(
            PaperSheet.Of(zone, isLandscape: false),
            new PaperFrame(
                $"Report on {report.Name} ({report.Code})",
                report.Programme,
                "en",
                $"{report.Code} · {report.Programme} · as of {Dates.Full(report.AsOfOn)} · {made} · reference set {report.SetKey}",
                FirstResponses.Caution
            )
        );
        WriteHead(paper, report, made);
        WriteStandings(paper, report);
        WriteTimeline(paper, report);
        WriteAlerts(paper, report);
        WriteFindings(paper, report);
        WriteSources(paper, report);
        paper.SaveTo(output);
    }

    private static void WriteHead(PaperDocument paper, ChildReport report, string made)
    {
        paper.Heading(report.Name, 1);
        paper.Paragraph(
            $"{report.Code}, {ReportWords.Born(report.Birth)}. {report.Programme}; clinician: {report.Clinician ?? "none yet"}.",
            Text
        );
        paper.Paragraph(
            new PaperText(
                $"As of {Dates.Full(report.AsOfOn)}{(report.IsClosed ? ", the day the case was closed" : "")}. {made}.",
                PaperTone.Quiet
            ),
            Small
        );
        paper.Paragraph(new PaperText(ChildReport.Nature, IsBold: true), Text);
        paper.Space(4);
        var ages = ReportWords.Ages(report.Ages).ToList();
        paper.Facts([.. ages.Select(age => new PaperFact(age.Value, age.Name, null))], ages.Count);
        foreach (var caution in report.Ages.Cautions)
        {
            paper.Paragraph(new PaperText(Labels.Of(caution), PaperTone.Notice), Small);
        }
        Section(paper, "What keeps items from being tested", report.Exclusions, "Nothing is recorded.");
        Section(paper, "Functional concerns that stand", report.Concerns, "None is recorded.");
    }

    private static void WriteStandings(PaperDocument paper, ChildReport report)
    {
        paper.Heading("What asks for attention", 2);
        var any = false;
        foreach (var result in report.Concerning)
        {
            any = true;
            paper.Keep(40);
            paper.Paragraph(
                new PaperText(
                    $"{result.Item.Name}: {ReportWords.Standing(result)} ({Labels.Of(result.Verdict.Concern).ToLowerInvariant()})",
                    result.Verdict.Concern >= Concern.Act ? PaperTone.Urgent : PaperTone.Plain,
                    IsBold: true
                ),
                Text
            );
            paper.Bullets(result.Reasons.Select(reason => (PaperText)ReportWords.Reason(reason)), Small);
            if (
                result.Verdict.Concern >= Concern.Advisory
                && FirstResponses.For(result.State, result.Verdict.Step, result.Verdict.IsConfirmed) is { } response
            )
            {
                paper.Paragraph(
                    new PaperText(
                        $"What the trade commonly does first: {response.TellWhom}. {response.HowSoon}. Look again: {response.Next}.",
                        PaperTone.Quiet
                    ),
                    Small,
                    12
                );
            }
            paper.Space(3);
        }
        if (!any)
        {
            paper.Paragraph("Nothing on this day.", Text);
        }
        paper.Heading("Looked at, and as expected", 2);
        var calm = report.Unremarkable.ToList();
        if (calm.Count > 0)
        {
            paper.Table(
                [
                    new PaperColumn<ItemResult>("Item", 3, result => result.Item.Name),
                    new PaperColumn<ItemResult>("Where the child stands", 3, result => ReportWords.Standing(result)),
                    new PaperColumn<ItemResult>("Usual ages, for this child", 4, result => ReportWords.Usual(result)),
                ],
                calm,
                Small
            );
        }
        paper.Paragraph(new PaperText(ReportWords.Untouched(report), PaperTone.Quiet), Small);
    }

    private static void WriteTimeline(PaperDocument paper, ChildReport report)
    {
        var layout = ReportTimeline.Of(report, TimelineLayout.Narrow);
        if (layout.Lanes.Count == 0)
        {
            return;
        }
        paper.Heading("Timeline", 2);
        TimelinePaper.Draw(paper, layout);
        paper.Draw(26, (page, x, y) => TimelinePaper.DrawLegend(page, layout, x, y + 6, paper.Width));
    }

    private static void WriteAlerts(PaperDocument paper, ChildReport report)
    {
        paper.Heading("Alerts and what was done about them", 2);
        if (report.Alerts.Count == 0)
        {
            paper.Paragraph("None was raised.", Text);
            return;
        }
        paper.Table(
            [
                new PaperColumn<ReportAlert>("Alert", 5, alert => new PaperText(alert.Title, IsBold: true)),
                new PaperColumn<ReportAlert>("Raised", 2, alert => $"{Dates.Full(alert.RaisedOn)}\n{AlertText.Severity(alert.Severity)}"),
                new PaperColumn<ReportAlert>("Stands", 3, alert => alert.Standing),
                new PaperColumn<ReportAlert>("What was done", 6, alert => string.Join('\n', alert.Steps.Select(ReportWords.Step))),
            ],
            report.Alerts,
            Small
        );
    }

    private static void WriteFindings(PaperDocument paper, ChildReport report)
    {
        Section(paper, "Who examined, and when", report.Visits.Select(ReportWords.Visit), "There was no visit yet.");
        paper.Heading("Findings", 2);
        if (report.Findings.Count == 0)
        {
            paper.Paragraph("None is recorded.", Text);
            return;
        }
        paper.Table(
            [
                new PaperColumn<ReportFinding>("Day", 2.2, row => Dates.Full(row.On)),
                new PaperColumn<ReportFinding>("Item", 4, row => row.Item),
                new PaperColumn<ReportFinding>("Side", 1.8, row => row.Side),
                new PaperColumn<ReportFinding>("Seen", 3, row => new PaperText(row.Seen, IsBold: true)),
                new PaperColumn<ReportFinding>("State", 2.4, row => row.State ?? ""),
                new PaperColumn<ReportFinding>("Examined by", 3, row => row.Who ?? ""),
                new PaperColumn<ReportFinding>("Corrected because", 2.6, row => row.Correction ?? ""),
            ],
            report.Findings,
            Small
        );
    }

    private static void WriteSources(PaperDocument paper, ChildReport report) =>
        Section(paper, "Sources named above", report.Sources.Select(ReportWords.Source), null);

    private static void Section(PaperDocument paper, string title, IEnumerable<string> lines, string? whenNone)
    {
        var texts = lines.Select(line => (PaperText)line).ToList();
        if (texts.Count == 0 && whenNone is null)
        {
            return;
        }
        paper.Heading(title, 3);
        if (texts.Count == 0)
        {
            paper.Paragraph(new PaperText(whenNone!, PaperTone.Quiet), Small);
            return;
        }
        paper.Bullets(texts, Small);
    }
}
