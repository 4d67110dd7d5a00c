using System.Globalization;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Web.Platform.Summaries;

/// <summary>A count with what it counts.</summary>
/// <param name="Count">How many.</param>
/// <param name="What">Of what.</param>
/// <param name="Of">How many there are in all, when a share makes sense; otherwise null.</param>
public sealed record SummaryFigure(int Count, string What, int? Of)
{
    /// <summary>The share in whole per cent, for example "25 %"; null where it makes no sense.</summary>
    public string? Share =>
        Of is > 0 and { } all
            ? string.Create(CultureInfo.InvariantCulture, $"{Math.Round(100m * Count / all, MidpointRounding.AwayFromZero)} %")
            : null;
}

/// <summary>The counts at the top of a summary. Every one follows from the rows below it.</summary>
/// <param name="Children">How many children.</param>
/// <param name="ByAttention">How many children ask for how much attention; every degree, most first.</param>
/// <param name="Others">The other counts.</param>
public sealed record SummaryFigures(
    int Children,
    IReadOnlyList<(Concern Attention, int Count)> ByAttention,
    IReadOnlyList<SummaryFigure> Others
)
{
    /// <summary>Counts.</summary>
    public static SummaryFigures Of(IReadOnlyCollection<SummaryChild> children)
    {
        var all = children.Count;
        var attention = children.CountBy(child => child.Attention).ToDictionary();
        return new SummaryFigures(
            all,
            [.. Enum.GetValues<Concern>().OrderDescending().Select(degree => (degree, attention.GetValueOrDefault(degree)))],
            [
                new SummaryFigure(children.Count(child => child.Alerts.Count > 0), "children with an open alert", all),
                new SummaryFigure(children.Sum(child => child.Alerts.Count), "open alerts", null),
                new SummaryFigure(children.Count(child => child.Items.Any(IsPersisting)), "children with a persisting response", all),
                new SummaryFigure(children.Sum(child => child.Items.Count(IsPersisting)), "persisting responses", null),
                new SummaryFigure(children.Sum(child => child.Checks.Count), "checks due in 14 days", null),
                new SummaryFigure(children.Sum(child => child.OverdueCount), "of them overdue", null),
                new SummaryFigure(children.Sum(child => child.Integrated.Count), "integrated since the last summary", null),
                new SummaryFigure(children.Count(child => child.Clinician is null), "children without a clinician", all),
            ]
        );

        static bool IsPersisting(SummaryItem item) => item.State == ItemState.Persisting;
    }

    /// <summary>The share of a degree in whole per cent.</summary>
    public string ShareOf(int count) => new SummaryFigure(count, "", Children).Share ?? "–";
}
