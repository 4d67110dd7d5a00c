using Caseload.Data.Access;
using Caseload.Data.Papers;

namespace Caseload.Web.Platform.Summaries;

/// <summary>What the access record says of a summary that was made as a file.</summary>
public static class SummaryRecords
{
    /// <summary>The day, the kind of file, whether children are named in it, and which they are.</summary>
    public static AccessDetail DetailOf(CaseloadSummary summary, SummaryFormat format) =>
        new AccessDetail()
            .With("as-of", summary.Head.Ask.AsOfOn)
            .With("format", format)
            .With("names", summary.Head.HasNames)
            .WithAll("children", summary.Children.Select(child => child.Id));
}
