using System.Xml.Linq;
using Bunit;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Reference;

namespace Caseload.Components.Tests.Reference;

public sealed class SourcePlotTests : ComponentTest
{
    [Fact]
    public void Plot_OfEveryItem_IsWellFormedAndHasABarForEveryNumber()
    {
        foreach (var item in ReferenceSets.Default.Items)
        {
            var drawing = Drawing(item);

            drawing
                .Descendants()
                .Count(element =>
                    element.Name.LocalName is "rect" or "path"
                    && element.Attribute("class")?.Value.StartsWith("bar ", StringComparison.Ordinal) == true
                )
                .ShouldBe(item.Figures.Count(figure => figure.From is not null || figure.Through is not null), item.Id);
        }
    }

    [Fact]
    public void Plot_OfEveryItem_StaysBetweenItsEdges()
    {
        foreach (var item in ReferenceSets.Default.Items)
        {
            var layout = SourcePlotLayout.Of(item);

            layout
                .Panels.SelectMany(panel => panel.Bars)
                .ShouldAllBe(bar => bar.X >= SourcePlotLayout.Left && bar.X + bar.Length <= SourcePlotLayout.Right + 0.1, item.Id);
        }
    }

    [Fact]
    public void Name_WhenItHoldsMarkup_IsEncoded()
    {
        var text = SourcePlotSvg.Write(SourcePlotLayout.Of(Samples.Item("moro")), "<b>A & B</b>");

        text.ShouldNotContain("<b>");
        Parse(text).Descendants().Attributes("aria-label").ShouldAllBe(label => label.Value.StartsWith("<b>A & B</b>, "));
    }

    [Fact]
    public void Figure_WithoutASource_IsNamedCommonPractice()
    {
        var item = ReferenceSets.Default.Items.First(candidate =>
            candidate.Figures.Any(figure => figure.Certainty == Certainty.Practice && figure.From is not null)
        );

        Drawing(item)
            .Descendants()
            .Where(element => element.Attribute("class")?.Value == "key")
            .ShouldContain(key => key.Value == "common practice");
    }

    [Fact]
    public void Legend_Always_TellsEveryCertaintyInWords()
    {
        var plot = Render<SourcePlot>(p => p.Add(s => s.Item, Samples.Item("moro")));

        plot.AllWords(".legend > span")
            .ShouldBe([
                "Seen in the source",
                "Seen in a copy that names the source",
                "From memory, to be verified",
                "Common practice, no source",
                "this set's own window",
                "this set's latest limit",
                "* the source says more, see the table",
            ]);
    }

    private static XElement Drawing(ReferenceItem item) => Parse(SourcePlotSvg.Write(SourcePlotLayout.Of(item), item.Name));

    private static XElement Parse(string text) => XElement.Parse($"<div>{text}</div>");
}
