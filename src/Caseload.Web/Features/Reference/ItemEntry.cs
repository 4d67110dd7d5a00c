using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>One item in the form for a new version, with the figures its course allows.</summary>
public sealed class ItemEntry
{
    /// <summary>Starts from the item as it is.</summary>
    public ItemEntry(ReferenceItem item)
    {
        Item = item;
        var rule = item.Rule;
        var months = "months";
        var figures = new List<FigureEntry>();
        if (rule.Onset.Unit != OnsetUnit.Birth)
        {
            figures.Add(
                new(
                    ScheduleFigure.Onset,
                    rule.Onset.Unit == OnsetUnit.PmaWeeks ? "weeks PMA" : months,
                    new FigureAges(rule.Onset.From, rule.Onset.Through)
                )
            );
        }
        if (item.Course == ItemCourse.GivesWay)
        {
            figures.Add(new(ScheduleFigure.UsualFrom, months, AgesOf(rule.UsualFrom)));
        }
        if (item.Course != ItemCourse.Lifelong)
        {
            figures.Add(new(ScheduleFigure.UsualThrough, months, AgesOf(rule.UsualThrough)));
            figures.Add(new(ScheduleFigure.Latest, months, AgesOf(rule.Latest)));
        }
        if (item.Course == ItemCourse.GivesWay)
        {
            figures.Add(new(ScheduleFigure.Absence, months, AgesOf(rule.Absence)));
        }
        if (item.Course == ItemCourse.Emerges)
        {
            figures.Add(new(ScheduleFigure.PartialAcceptedThrough, months, AgesOf(rule.PartialAcceptedThrough)));
            figures.Add(new(ScheduleFigure.Ends, months, AgesOf(rule.Ends)));
        }
        Figures = figures;
    }

    /// <summary>The item as it is.</summary>
    public ReferenceItem Item { get; }

    /// <summary>The figures that may be changed.</summary>
    public IReadOnlyList<FigureEntry> Figures { get; }

    /// <summary>The schedule figures as typed; what cannot be read stays as it was.</summary>
    public ItemRuleFigures ToFigures()
    {
        var rule = Item.Rule;
        foreach (var entry in Figures.Where(entry => entry.IsChanged && entry.Problem is null))
        {
            rule = entry.Figure switch
            {
                ScheduleFigure.Onset => rule with { Onset = new(rule.Onset.Unit, entry.Ages!.From, entry.Ages.Through, entry.Sources) },
                ScheduleFigure.UsualFrom => rule with { UsualFrom = MonthOf(entry) },
                ScheduleFigure.UsualThrough => rule with { UsualThrough = MonthOf(entry) },
                ScheduleFigure.Latest => rule with { Latest = MonthOf(entry) },
                ScheduleFigure.Absence => rule with { Absence = SpanOf(entry) },
                ScheduleFigure.PartialAcceptedThrough => rule with { PartialAcceptedThrough = MonthOf(entry) },
                ScheduleFigure.Ends => rule with { Ends = SpanOf(entry) },
                _ => throw new ArgumentOutOfRangeException(nameof(entry)),
            };
        }
        return rule;
    }

    private static FigureAges? AgesOf(MonthFigure? figure) => figure is null ? null : new(figure.Months, figure.Months);

    private static FigureAges? AgesOf(MonthSpanFigure? figure) => figure is null ? null : new(figure.FromMonths, figure.ThroughMonths);

    private static MonthFigure? MonthOf(FigureEntry entry) => entry.Ages is { } ages ? new(ages.From, entry.Sources) : null;

    private static MonthSpanFigure? SpanOf(FigureEntry entry) =>
        entry.Ages is { } ages ? new(ages.From, ages.Through, entry.Sources) : null;
}
