using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>A schedule figure in words.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Age">The age.</param>
/// <param name="Sources">Source keys.</param>
/// <param name="Note">What a reader must know about it.</param>
public sealed record ScheduleFigureRow(string Name, string Age, IReadOnlyList<string> Sources, string? Note)
{
    /// <summary>The figures that an item has, in the order of time.</summary>
    public static IReadOnlyList<ScheduleFigureRow> Of(ItemRuleFigures rule) =>
        [
            .. new[]
            {
                rule.Earliest is { } earliest
                    ? new("Earliest ever published (shown, not used)", FigureText.Of(earliest), earliest.Sources, null)
                    : null,
                new("Expected from", FigureText.Of(rule.Onset), rule.Onset.Sources, null),
                Span("Absence matters", rule.Absence),
                Months("Usual window opens", rule.UsualFrom),
                Months("Usual deadline", rule.UsualThrough),
                Months("Latest published limit", rule.Latest),
                Months("Partial response accepted until", rule.PartialAcceptedThrough),
                Span("Usually fades again", rule.Ends),
            }.OfType<ScheduleFigureRow>(),
        ];

    private static ScheduleFigureRow? Months(string name, MonthFigure? figure) =>
        figure is null ? null : new(name, FigureText.Months(figure.Months, figure.Months), figure.Sources, figure.Note);

    private static ScheduleFigureRow? Span(string name, MonthSpanFigure? figure) =>
        figure is null ? null : new(name, FigureText.Months(figure.FromMonths, figure.ThroughMonths), figure.Sources, figure.Note);
}
