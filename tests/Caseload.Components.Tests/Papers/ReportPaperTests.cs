using Caseload.Domain.Wording;
using Caseload.Testing;
using Caseload.Web.Platform.Reports;
using Caseload.Web.Ui.Timeline;
using UglyToad.PdfPig;

namespace Caseload.Components.Tests.Papers;

public sealed class ReportPaperTests
{
    [Fact]
    public void Report_OnPaper_SaysWhatAPhysicianNeeds()
    {
        using var pdf = Write(ReportSamples.All[1]);

        var report = ReportSamples.All[1];
        var all = string.Concat(pdf.GetPages().Select(page => page.Words()));
        all.ShouldContain(ChildReport.Nature);
        all.ShouldContain("Juniper Bramble K-001, born 5 Jan 2026 at 40+0 weeks.");
        all.ShouldContain("Reflux, from 1 Mar 2026, still holds");
        all.ShouldContain("Head control");
        all.ShouldContain("Told the physician, by Odette Fennimore: By telephone");
        all.ShouldContain("Odette Fennimore, Home, ");
        foreach (var result in report.Concerning)
        {
            all.ShouldContain($"{result.Item.Name}: {ReportWords.Standing(result)}");
            foreach (var reason in result.Reasons)
            {
                Solid(all).ShouldContain(Solid(ReportWords.Reason(reason)));
            }
        }
        foreach (var result in report.Unremarkable)
        {
            Solid(all).ShouldContain(Solid(ReportWords.Standing(result)));
        }
        Solid(all).ShouldContain(Solid(ReportWords.Source(report.Sources[0])));
        pdf.GetPages().ShouldAllBe(page => page.Words().Contains(FirstResponses.Caution, StringComparison.Ordinal));

        // A line may be broken anywhere.
        static string Solid(string text) => text.Replace(" ", "", StringComparison.Ordinal);
    }

    [Fact]
    public void Timeline_OnPaper_HoldsEveryLaneOfTheScreensLayout()
    {
        using var pdf = Write(ReportSamples.All[3]);

        var layout = ReportTimeline.Of(ReportSamples.All[3], TimelineLayout.Narrow);
        layout.Lanes.Count.ShouldBeGreaterThan(20);
        // The lane's name stands in the timeline, in the tables of items, of findings or in the reasons: at least twice.
        var all = string.Concat(pdf.GetPages().Select(page => page.Words()));
        foreach (var lane in layout.Lanes.Where(lane => lane.Name.Length <= 34))
        {
            (all.Split(lane.Name).Length - 1).ShouldBeGreaterThanOrEqualTo(2, lane.Name);
        }
        all.ShouldContain(layout.AxisTitle);
        // Drawn as lines and shapes, not as a picture.
        pdf.GetPages().Sum(page => page.GetImages().Count()).ShouldBe(0);
        pdf.GetPages().Sum(page => page.Paths.Count).ShouldBeGreaterThan(10 * layout.Lanes.Count);
    }

    [Fact]
    public void Report_OfAChildNobodySaw_IsWhole()
    {
        var report = ReportSamples.Of(Samples.Term, "2026-01-06") with
        {
            Alerts = [],
            Visits = [],
            Exclusions = [],
            Concerns = [],
            Sources = [],
        };
        using var pdf = Write(report);

        var all = string.Concat(pdf.GetPages().Select(page => page.Words()));
        all.ShouldContain("There was no visit yet.");
        all.ShouldContain("None was raised.");
        all.ShouldContain("Nothing is recorded.");
    }

    private static PdfDocument Write(ChildReport report)
    {
        using var stream = new MemoryStream();
        ReportPaper.Write(report, TimeZoneInfo.Utc, stream);
        return PdfDocument.Open(stream.ToArray());
    }
}
