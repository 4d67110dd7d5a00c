using System.Globalization;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Reference;

namespace Caseload.Components.Tests.Reference;

public sealed class SourcePlotLayoutTests
{
    public static TheoryData<string> ItemIds => [.. ReferenceSets.Default.Items.Select(item => item.Id)];

    [Theory]
    [MemberData(nameof(ItemIds))]
    public void Layout_OfAnyItem_HasOneBarForEveryFigureWithANumberAtItsPlace(string itemId)
    {
        var item = ReferenceSets.Default.Find(itemId)!;

        var layout = SourcePlotLayout.Of(item);

        var expected = item.Figures.Where(figure => figure.From is not null || figure.Through is not null).ToList();
        layout.Panels.Sum(panel => panel.Bars.Count).ShouldBe(expected.Count);
        foreach (var panel in layout.Panels)
        {
            foreach (var bar in panel.Bars)
            {
                var parts = bar.Value.Split(" to ").Select(Number).ToArray();
                AgeAt(panel, bar.X).ShouldBe(parts[0], 0.05);
                AgeAt(panel, bar.X + bar.Length).ShouldBe(parts[^1], 0.05);
                bar.X.ShouldBeInRange(SourcePlotLayout.Left, SourcePlotLayout.Right);
                (bar.X + bar.Length).ShouldBeInRange(SourcePlotLayout.Left, SourcePlotLayout.Right);
            }
            panel.Bars.Select(bar => bar.Y).Distinct().Count().ShouldBe(panel.Bars.Count);
            panel.Bars.ShouldAllBe(bar => bar.Y < panel.Height);
        }
        layout
            .Panels.SelectMany(panel => panel.Bars)
            .Select(bar => (bar.Source, bar.Value))
            .Order()
            .ShouldBe(expected.Select(figure => (figure.Source, FigureText.Span(figure.From!.Value, figure.Through!.Value))).Order());
    }

    [Theory]
    [MemberData(nameof(ItemIds))]
    public void Layout_OfAnyItem_MarksCommonPracticeAndNothingElse(string itemId)
    {
        var layout = SourcePlotLayout.Of(ReferenceSets.Default.Find(itemId)!);

        foreach (var bar in layout.Panels.SelectMany(panel => panel.Bars))
        {
            bar.IsCommonPractice.ShouldBe(bar.Source == ReferenceSetRules.CommonPractice);
        }
    }

    [Fact]
    public void Layout_OfMoro_ShowsItsOwnWindowAndLimitBehindTheBars()
    {
        var item = ReferenceSets.Default.Find("moro")!;

        var panel = SourcePlotLayout.Of(item).Panels.Single(panel => panel.Title.StartsWith("Gone by", StringComparison.Ordinal));

        AgeAt(panel, panel.Own!.FromX!.Value).ShouldBe(item.Rule.UsualFrom!.Months, 0.05);
        AgeAt(panel, panel.Own.ThroughX!.Value).ShouldBe(item.Rule.UsualThrough!.Months, 0.05);
        AgeAt(panel, panel.Own.LatestX!.Value).ShouldBe(item.Rule.Latest!.Months, 0.05);
    }

    [Fact]
    public void Layout_OfAnItemWithOnsetInWeeks_KeepsWeeksOnAnAxisOfTheirOwn()
    {
        var titles = SourcePlotLayout.Of(ReferenceSets.Default.Find("rooting")!).Panels.Select(panel => panel.Title);

        titles.ShouldBe(["First seen, weeks of postmenstrual age", "Gone by, months of corrected age"]);
    }

    [Theory]
    [MemberData(nameof(ItemIds))]
    public void Drawing_OfAnyItem_SaysCommonPracticeInWordsOnEveryRowWithoutASource(string itemId)
    {
        var layout = SourcePlotLayout.Of(ReferenceSets.Default.Find(itemId)!);

        var svg = SourcePlotSvg.Write(layout, "Item");

        var bars = layout.Panels.SelectMany(panel => panel.Bars).ToList();
        Count(svg, "<g class=\"figure\">").ShouldBe(bars.Count);
        Count(svg, ">common practice</text>").ShouldBe(bars.Count(bar => bar.IsCommonPractice));
        Count(svg, "class=\"bar practice\"").ShouldBe(bars.Count(bar => bar.IsCommonPractice));
        Count(svg, ">no source</text>").ShouldBe(bars.Count(bar => bar.IsCommonPractice));
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    private static int Count(string text, string part) => text.Split(part).Length - 1;

    /// <summary>Reads an age back from the axis, as an eye does.</summary>
    private static double AgeAt(PlotPanel panel, double x)
    {
        var (first, last) = (panel.Ticks[0], panel.Ticks[^1]);
        var (from, through) = (Number(first.Text), Number(last.Text));
        return from + (x - first.X) / (last.X - first.X) * (through - from);
    }
}
