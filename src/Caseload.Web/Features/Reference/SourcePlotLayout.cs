using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>A mark on a plot's axis.</summary>
public sealed record PlotTick(double X, string Text);

/// <summary>One figure of one source as a bar; a single age is a bar without length.</summary>
/// <param name="Source">The source's key.</param>
/// <param name="Certainty">How it was seen.</param>
/// <param name="IsCommonPractice">Whether no source backs it.</param>
/// <param name="X">Where it begins.</param>
/// <param name="Length">How long it is.</param>
/// <param name="Y">The middle of its row.</param>
/// <param name="Value">The ages in figures.</param>
/// <param name="HasRemark">Whether the source says more than the number.</param>
public sealed record PlotBar(
    string Source,
    Certainty Certainty,
    bool IsCommonPractice,
    double X,
    double Length,
    double Y,
    string Value,
    bool HasRemark
);

/// <summary>What the set itself schedules by, drawn behind the bars.</summary>
/// <param name="FromX">Where the usual window begins.</param>
/// <param name="ThroughX">Where it ends.</param>
/// <param name="LatestX">The latest published limit.</param>
/// <param name="Value">The same in figures.</param>
public sealed record PlotBand(double? FromX, double? ThroughX, double? LatestX, string Value);

/// <summary>The figures of one kind on one axis.</summary>
/// <param name="Title">What they speak about, and the unit.</param>
/// <param name="Height">The drawing's height.</param>
/// <param name="Ticks">The axis.</param>
/// <param name="Own">What the set schedules by; null when it has no figure of this kind and unit.</param>
/// <param name="Bars">One for every figure with a number, in the order of the set.</param>
public sealed record PlotPanel(string Title, double Height, IReadOnlyList<PlotTick> Ticks, PlotBand? Own, IReadOnlyList<PlotBar> Bars);

/// <summary>Where everything stands in the drawing of what each source says about an item.</summary>
public sealed record SourcePlotLayout(IReadOnlyList<PlotPanel> Panels)
{
    public const double Width = 672;
    public const double Left = 190;
    public const double Right = 540;
    public const double AxisHeight = 24;
    public const double RowHeight = 24;
    public const double OwnY = AxisHeight + RowHeight / 2;

    private const int FarMonths = 24;

    /// <summary>Lays out an item's figures.</summary>
    public static SourcePlotLayout Of(ReferenceItem item)
    {
        var numbered = item.Figures.Where(figure => FirstOf(figure) is not null).ToList();
        var months = numbered.Where(figure => figure.Unit == FigureUnit.Months && figure.What != FigureKind.Ends);
        // Every panel in months has the same axis, so that onset and going can be compared; an end at school age would squash them.
        var monthsThrough = months.Select(LastOf).Append(LatestMonths(item.Rule)).Append(6).Max() + 1;
        var ends = numbered.Where(figure => figure.What == FigureKind.Ends).Select(LastOf).Append(item.Rule.Ends?.ThroughMonths ?? 0).Max();
        if (ends <= FarMonths)
        {
            monthsThrough = Math.Max(monthsThrough, ends + 1);
        }
        return new SourcePlotLayout([
            .. numbered
                .GroupBy(figure => (figure.What, figure.Unit))
                .OrderBy(group => group.Key.What)
                .ThenBy(group => group.Key.Unit)
                .Select(group =>
                    PanelOf(
                        item.Rule,
                        group.Key.What,
                        group.Key.Unit,
                        [.. group],
                        group.Key.What == FigureKind.Ends ? Math.Max(monthsThrough, ends + 1) : monthsThrough
                    )
                ),
        ]);
    }

    private static PlotPanel PanelOf(
        ItemRuleFigures rule,
        FigureKind what,
        FigureUnit unit,
        IReadOnlyList<SourceFigure> figures,
        double monthsThrough
    )
    {
        var own = OwnOf(rule, what, unit);
        double least = 0;
        var most = Math.Ceiling(monthsThrough);
        if (unit == FigureUnit.PmaWeeks)
        {
            least = Math.Floor(figures.Min(figure => FirstOf(figure)!.Value)) - 2;
            most = Math.Ceiling(figures.Max(LastOf)) + 2;
            least = Math.Min(least, own?.From - 2 ?? least);
            most = Math.Max(most, Math.Max(42, own?.Through + 2 ?? 0));
        }
        var scale = (Right - Left) / (most - least);

        return new PlotPanel(
            FigureText.Of(what) + (unit == FigureUnit.PmaWeeks ? ", weeks of postmenstrual age" : ", months of corrected age"),
            AxisHeight + RowHeight * (figures.Count + 1) + 4,
            Ticks(least, most),
            own is null ? null : new PlotBand(Maybe(own.From), Maybe(own.Through), Maybe(own.Latest), own.Value),
            [.. figures.Select((figure, index) => BarOf(figure, OwnY + RowHeight * (index + 1)))]
        );

        double X(double age) => Math.Round(Left + (age - least) * scale, 1);

        double? Maybe(double? age) => age is { } known ? X(known) : null;

        PlotBar BarOf(SourceFigure figure, double y)
        {
            var from = FirstOf(figure)!.Value;
            var through = LastOf(figure);
            return new PlotBar(
                figure.Source,
                figure.Certainty,
                figure.Certainty == Certainty.Practice,
                X(from),
                Math.Round(X(through) - X(from), 1),
                y,
                FigureText.Span(from, through),
                figure.Note is not null
            );
        }

        List<PlotTick> Ticks(double from, double through)
        {
            var step = (through - from) switch
            {
                <= 13 => 1,
                <= 27 => 2,
                <= 40 => 4,
                _ => 12,
            };
            var ticks = new List<PlotTick>();
            for (var age = Math.Ceiling(from / step) * step; age <= through; age += step)
            {
                ticks.Add(new PlotTick(X(age), FigureText.Span(age, age)));
            }
            return ticks;
        }
    }

    private static OwnFigures? OwnOf(ItemRuleFigures rule, FigureKind what, FigureUnit unit) =>
        (what, unit, rule) switch
        {
            (FigureKind.Onset, FigureUnit.PmaWeeks, { Onset: { Unit: OnsetUnit.PmaWeeks } onset }) => new(
                onset.From,
                onset.Through,
                null,
                FigureText.Span(onset.From, onset.Through)
            ),
            (FigureKind.Onset, FigureUnit.Months, { Onset: { Unit: not OnsetUnit.PmaWeeks } onset }) => new(
                onset.From,
                onset.Through,
                null,
                FigureText.Span(onset.From, onset.Through)
            ),
            (FigureKind.Goes or FigureKind.Appears, FigureUnit.Months, { UsualThrough: { } through }) => Usual(rule, through.Months),
            (FigureKind.Ends, FigureUnit.Months, { Ends: { } ends }) => new(
                ends.FromMonths,
                ends.ThroughMonths,
                null,
                FigureText.Span(ends.FromMonths, ends.ThroughMonths)
            ),
            _ => null,
        };

    private static OwnFigures Usual(ItemRuleFigures rule, int through)
    {
        var from = rule.UsualFrom?.Months ?? (rule.Onset.Unit == OnsetUnit.PmaWeeks ? through : Math.Min(rule.Onset.From, through));
        return new OwnFigures(
            from,
            through,
            rule.Latest?.Months,
            FigureText.Span(from, through) + (rule.Latest is { } latest ? $", latest {latest.Months}" : "")
        );
    }

    private static double? FirstOf(SourceFigure figure) => figure.From ?? figure.Through;

    private static double LastOf(SourceFigure figure) => figure.Through ?? figure.From ?? 0;

    private static double LatestMonths(ItemRuleFigures rule) => rule.Latest?.Months ?? rule.UsualThrough?.Months ?? 0;

    private sealed record OwnFigures(double From, double Through, double? Latest, string Value);
}
