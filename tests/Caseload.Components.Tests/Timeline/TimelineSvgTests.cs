using System.Text.RegularExpressions;
using System.Xml.Linq;
using Bunit;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Web.Ui.Timeline;

namespace Caseload.Components.Tests.Timeline;

public sealed class TimelineSvgTests : ComponentTest
{
    private static readonly XNamespace _svg = "http://www.w3.org/2000/svg";

    [Fact]
    public void Drawing_WithEveryItemAndMark_IsWellFormed()
    {
        var svg = XDocument.Parse(TimelineSvg.Write(Everything(), "Timeline of Anna", "children/1")).Root!;

        svg.Name.ShouldBe(_svg + "svg");
        Lanes(svg).Count().ShouldBe(ReferenceSets.Default.Items.Count);
        svg.Descendants(_svg + "title").Count().ShouldBe(3);
    }

    [Fact]
    public void Drawing_WhenNamesHoldMarkup_EncodesThem()
    {
        const string Hostile = "<b>Moro & \"Co\"</b>";
        var layout = TimelineLayoutTests.Layout(["moro"], findings: Samples.Seen("moro", "2026-07-05", Response.Weak));
        var lane = layout.Lanes[0] with { Name = Hostile };

        var text = TimelineSvg.Write(layout with { Lanes = [lane] }, "Timeline of " + Hostile, "children/1");

        text.ShouldNotContain("<b>");
        var svg = XDocument.Parse(text).Root!;
        svg.Attribute("aria-label")!.Value.ShouldBe("Timeline of " + Hostile);
        Names(svg).ShouldBe([Hostile]);
        svg.Descendants(_svg + "title").Single().Value.ShouldBe(Hostile + ", 5 Jul 2026: weak, Quiet, alert");
    }

    [Fact]
    public void Lane_Always_LinksToItsRowOnThePage() =>
        Lanes(XDocument.Parse(TimelineSvg.Write(TimelineLayoutTests.Layout(["moro", "landau"]), "t", "children/1")).Root!)
            .Select(lane => lane.Attribute("href")!.Value)
            .ShouldBe(["children/1#item-moro", "children/1#item-landau"]);

    [Fact]
    public void Lane_Always_SaysItsStateInWords() =>
        XDocument
            .Parse(TimelineSvg.Write(TimelineLayoutTests.Layout(["stnr"], "2026-02-01"), "t", "p"))
            .Descendants(_svg + "text")
            .Single(text => HasClass(text, "lane-state"))
            .Value.ShouldBe("Not yet expected");

    [Fact]
    public void Name_WhenItIsLong_IsShortened()
    {
        var layout = TimelineLayoutTests.Layout(["moro"]);
        var name = new string('x', 60);

        var svg = XDocument.Parse(TimelineSvg.Write(layout with { Lanes = [layout.Lanes[0] with { Name = name }] }, "t", "p")).Root!;

        Names(svg).Single().ShouldBe(new string('x', 33) + "…");
    }

    [Fact]
    public void Today_Always_StandsAtTheLayoutsPlaceWithItsDate()
    {
        var layout = TimelineLayoutTests.Layout(["moro"]);
        var svg = XDocument.Parse(TimelineSvg.Write(layout, "t", "p")).Root!;

        var line = svg.Descendants(_svg + "line").Single(element => HasClass(element, "today"));
        Number(line, "x1").ShouldBe(layout.TodayX);
        Number(line, "x2").ShouldBe(layout.TodayX);
        svg.Descendants(_svg + "text").Single(element => HasClass(element, "today-text")).Value.ShouldBe("1 Sep 2026");
    }

    [Fact]
    public void Window_Always_IsDrawnFromItsFirstToItsLastDay()
    {
        var lane = TimelineLayoutTests.Layout(["palmar_grasp"]).Lanes[0];
        var svg = XDocument.Parse(TimelineSvg.Write(TimelineLayoutTests.Layout(["palmar_grasp"]), "t", "p")).Root!;

        var usual = svg.Descendants(_svg + "rect").Single(element => HasClass(element, "usual"));
        Number(usual, "x").ShouldBe(lane.UsualFrom!.Value);
        (Number(usual, "x") + Number(usual, "width")).ShouldBe(lane.UsualThrough!.Value, 0.11);
        var beyond = svg.Descendants(_svg + "rect").Single(element => HasClass(element, "beyond"));
        (Number(beyond, "x") + Number(beyond, "width")).ShouldBe(lane.LatestThrough!.Value, 0.11);
        Number(svg.Descendants(_svg + "line").Single(element => HasClass(element, "limit")), "x1").ShouldBe(lane.LatestThrough.Value);
    }

    [Fact]
    public void Limit_WhenItIsBeyondTheChart_IsNotDrawn() =>
        XDocument
            .Parse(TimelineSvg.Write(TimelineLayoutTests.Layout(["plantar_grasp"]), "t", "p"))
            .Descendants()
            .ShouldNotContain(element => HasClass(element, "limit") || HasClass(element, "beyond"));

    [Fact]
    public void Marks_WithoutTheirColours_StillDiffer()
    {
        var shapes = Enum.GetValues<TimelineMark>().Select(kind => GeometryOf(TimelineSvg.WriteMark(kind))).ToList();

        shapes.Count.ShouldBe(9);
        shapes.Distinct().Count().ShouldBe(9);
    }

    [Fact]
    public void Mark_WhenItIsOfOneSide_StandsOffTheMiddleWithItsLetter()
    {
        var layout = TimelineLayoutTests.Layout(
            ["palmar_grasp"],
            findings:
            [
                Samples.Seen("palmar_grasp", "2026-07-05", Response.Typical, Side.Left),
                Samples.Seen("palmar_grasp", "2026-07-05", Response.Weak, Side.Right),
            ]
        );
        var svg = XDocument.Parse(TimelineSvg.Write(layout, "t", "p")).Root!;

        svg.Descendants(_svg + "text")
            .Where(text => HasClass(text, "mark-text"))
            .Select(text => text.Value)
            .ShouldBe(["L", "R"], ignoreOrder: true);
        svg.Descendants(_svg + "circle")
            .Select(circle => Number(circle, "cy"))
            .ShouldBe([layout.Lanes[0].Y - 5, layout.Lanes[0].Y + 5], ignoreOrder: true);
    }

    [Fact]
    public void View_Always_DrawsForBothScreensWithoutRepeatingAnId()
    {
        var view = View();

        view.Find(".timeline-wide > svg").GetAttribute("aria-label").ShouldBe("Timeline of Anna");
        view.Find(".timeline-narrow > svg").GetAttribute("aria-label").ShouldBe("Timeline of Anna");
        var ids = view.FindAll("[id]").Select(element => element.Id).ToList();
        ids.Count.ShouldBeGreaterThan(1);
        ids.ShouldBeUnique();
    }

    [Fact]
    public void Legend_Always_NamesEveryMarkOnce()
    {
        var view = View();

        view.FindAll(".legend svg.legend-mark").Count.ShouldBe(9);
        view.AllWords(".legend > span").Distinct().Count().ShouldBe(14);
    }

    private IRenderedComponent<TimelineView> View() =>
        Render<TimelineView>(timeline =>
            timeline
                .Add(t => t.Layout, TimelineLayoutTests.Layout(["moro"]))
                .Add(t => t.NarrowLayout, TimelineLayoutTests.Layout(["moro"], width: TimelineLayout.Narrow))
                .Add(t => t.Title, "Timeline of Anna")
                .Add(t => t.PagePath, "children/1")
        );

    private static TimelineLayout Everything() =>
        TimelineLayoutTests.Layout(
            [.. ReferenceSets.Default.Items.Select(item => item.Id)],
            findings:
            [
                Samples.Seen("moro", "2026-07-05", Response.Obligatory),
                Samples.Seen("landau", "2026-08-05", Response.Partial),
                Samples.NotTested("rooting", "2026-08-06", NotTestedReason.Hungry),
            ]
        );

    private static IEnumerable<XElement> Lanes(XElement svg) => svg.Elements(_svg + "a");

    private static IEnumerable<string> Names(XElement svg) =>
        svg.Descendants(_svg + "text").Where(text => HasClass(text, "lane-name")).Select(text => text.Value);

    private static bool HasClass(XElement element, string name) => element.Attribute("class")?.Value.Split(' ').Contains(name) == true;

    private static double Number(XElement element, string name) => (double)element.Attribute(name)!;

    // What is left when everything that a style could colour is taken away.
    private static string GeometryOf(string svg)
    {
        var drawing = XElement.Parse(svg);
        drawing.DescendantsAndSelf().Attributes().Where(attribute => attribute.Name.LocalName is "class" or "fill" or "stroke").Remove();
        return Regex.Replace(drawing.ToString(SaveOptions.DisableFormatting), "\\s+", " ", RegexOptions.None, TimeSpan.FromSeconds(1));
    }
}
