using Bunit;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Web.Features.Children;

namespace Caseload.Components.Tests.Children;

public sealed class ItemRowTests : ComponentTest
{
    [Fact]
    public void Row_AtFirst_KeepsItsReasonsClosed()
    {
        var row = Row(Persisting());

        row.Find("button.item-head").GetAttribute("aria-expanded").ShouldBe("false");
        row.Find(".why").Words().ShouldBe("Why?");
        row.FindAll(".reasons").ShouldBeEmpty();
    }

    [Fact]
    public void Why_WhenAsked_OpensEveryReasonWithItsSources()
    {
        var result = Persisting();
        var row = Row(result);

        row.Find("button.item-head").Click();

        var head = row.Find("button.item-head");
        head.GetAttribute("aria-expanded").ShouldBe("true");
        row.Find("#" + head.GetAttribute("aria-controls")).ShouldNotBeNull();
        row.AllWords(".reasons > li").Count.ShouldBe(result.Reasons.Count);
        row.AllWords(".reasons > li").ShouldContain(text => text.Contains("10 Oct 2026") || text.Contains("2026-10-10"));
        var sources = result.Reasons.SelectMany(reason => reason.Sources).ToList();
        sources.ShouldNotBeEmpty();
        row.AllWords(".reasons .source-key").ShouldBe(sources);
        row.FindAll(".reasons .source-key")
            .Select(link => link.GetAttribute("href"))
            .ShouldBe(sources.Select(key => "reference/sources?find=" + key));
    }

    [Fact]
    public void Why_WhenAsked_ShowsTheDatesOfTheWindow()
    {
        var row = Row(Persisting(), isOpenAtFirst: true);

        // Moro: 28 weeks postmenstrual lie before this birth; usually goes at 4 to 6 months from 5 Mar 2026; latest limit 6 months.
        row.AllWords(".dates > div")
            .ShouldBe(["Expected from5 Jan 2026", "Usually goes5 Jul 2026 to 5 Sep 2026", "Latest published limit5 Sep 2026"]);
    }

    [Fact]
    public void Why_WhenTheItemEmerges_SpeaksOfBeingThere()
    {
        var row = Row(Samples.Interpreted("landau", Samples.Term, "2026-05-20"), isOpenAtFirst: true);

        row.AllWords(".dates dt").ShouldContain("Usually there by");
        row.AllWords(".dates dt").ShouldContain("Absence matters after");
        row.Find(".dates").Words().ShouldContain("Usually there by5 Jun 2026");
    }

    [Fact]
    public void Why_WhenAskedTwice_ClosesAgain()
    {
        var row = Row(Persisting());

        row.Find("button.item-head").Click();
        row.Find("button.item-head").Click();

        row.FindAll(".reasons").ShouldBeEmpty();
    }

    [Fact]
    public void FirstResponse_WhenTheStateAsksForAttention_StandsWithItsCaution()
    {
        var row = Row(Persisting(), isOpenAtFirst: true);

        row.Find(".response").Words().ShouldContain("The child's physician, and the family at the same visit. Within 7 days.");
        row.Find(".response").Words().ShouldContain("follow your local protocol");
    }

    [Fact]
    public void FirstResponse_WhenAllIsAsExpected_IsLeftOut()
    {
        var result = Samples.Interpreted("moro", Samples.Term, "2026-02-10", Samples.Seen("moro", "2026-02-09", Response.Typical));

        result.State.ShouldBe(ItemState.PresentAsExpected);
        Row(result, isOpenAtFirst: true).FindAll(".response").ShouldBeEmpty();
    }

    [Fact]
    public void Row_Always_LinksToTheItemInTheReference() =>
        Row(Persisting(), isOpenAtFirst: true)
            .Control("Technique, cautions and what each source says")
            .GetAttribute("href")
            .ShouldBe("reference/moro");

    [Fact]
    public void Check_WhenNoneIsPlanned_SaysSo() =>
        Row(Samples.Result("moro", ItemState.Integrated)).Find(".item-check").Words().ShouldBe("No further check planned");

    // Seen five weeks after the latest limit.
    private static ItemResult Persisting() =>
        Samples.Interpreted("moro", Samples.Preterm, "2026-10-15", Samples.Seen("moro", "2026-10-10", Response.Typical));

    private IRenderedComponent<ItemRow> Row(ItemResult result, bool isOpenAtFirst = false) =>
        Render<ItemRow>(row => row.Add(r => r.Result, result).Add(r => r.IsOpenAtFirst, isOpenAtFirst));
}

public sealed class ItemListTests : ComponentTest
{
    [Fact]
    public void Items_Always_StandUnderWhatTheyAskFor()
    {
        var list = List(
            Samples.Result("moro", ItemState.NotYetExpected),
            Samples.Result("rooting", ItemState.Integrated),
            Samples.Result("atnr", ItemState.Persisting, Concern.Advisory),
            Samples.Result("galant", ItemState.PresentAsExpected, checkFrom: "2026-09-01", checkThrough: "2026-09-20"),
            Samples.Result("traction", ItemState.AwaitingConfirmation, Concern.Watch),
            Samples.Result("stepping", ItemState.Obligatory, Concern.Act),
            Samples.Result("landau", ItemState.Established),
            Samples.Result("perez", ItemState.ExpectedNotYetSeen, reasons: ReasonCode.NotScheduled)
        );

        list.AllWords(".item-group > h3")
            .ShouldBe([
                "Needs attention 2",
                "Look again 1",
                "In course 1",
                "Settled 2",
                "Not yet expected 1",
                "Not scheduled by this programme 1",
            ]);
        NamesIn(list, 0).ShouldBe(["Stepping", "Asymmetric tonic neck"]);
        NamesIn(list, 3).ShouldBe(["Rooting", "Landau"]);
        NamesIn(list, 5).ShouldBe(["Perez"]);
    }

    [Fact]
    public void Group_WhenNothingIsInIt_IsLeftOut() =>
        List(Samples.Result("moro", ItemState.Integrated)).AllWords("h3").ShouldBe(["Settled 1"]);

    [Fact]
    public void Item_WhenItIsTheOneAskedFor_IsOpenFromTheStart()
    {
        var list = Render<ItemList>(items =>
            items.Add(i => i.Results, [Samples.Result("moro"), Samples.Result("rooting")]).Add(i => i.OpenItemId, "rooting")
        );

        list.FindAll(".item-row.open").Select(row => row.Id).ShouldBe(["item-rooting"]);
    }

    private static IEnumerable<string> NamesIn(IRenderedComponent<ItemList> list, int group) =>
        list.FindAll(".item-group")[group].QuerySelectorAll(".item-head strong").Select(name => name.Words());

    private IRenderedComponent<ItemList> List(params ItemResult[] results) => Render<ItemList>(list => list.Add(l => l.Results, results));
}
