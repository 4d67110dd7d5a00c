using Caseload.Web.Ui.Timeline;

namespace Caseload.Web.Platform.Reports;

/// <summary>The timeline of a report: one layout, which the screen and paper draw.</summary>
public static class ReportTimeline
{
    /// <summary>Lays out the items that ask for attention and those that were looked at.</summary>
    /// <param name="report">The report.</param>
    /// <param name="width">The drawing's width in its own units.</param>
    public static TimelineLayout Of(ChildReport report, double width) =>
        TimelineLayout.Of(
            report.Birth,
            report.AnchorOn,
            [.. report.Concerning, .. report.Unremarkable],
            report.Standing,
            report.AsOfOn,
            TimelineAxis.Corrected,
            width
        );
}
