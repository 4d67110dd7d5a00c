using Bunit;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Visits;
using Caseload.Web.Features.Visits;

namespace Caseload.Components.Tests.Visits;

public sealed class VisitPartTests : ComponentTest
{
    private readonly List<object> _raised = [];

    [Fact]
    public void ItemCard_WhenAConcernMayBeRelated_SaysNoMoreThanThat()
    {
        var check = VisitSamples.Check("moro", "", "Rolling");
        var card = Render<ItemCard>(c => c.Add(p => p.Card, new VisitCard(1, check, new EntryForm { Item = "moro" }, null, true, null)));

        card.AllWords(".why").ShouldBe(["Concern \"Rolling\": may be related; check"]);
    }

    [Fact]
    public void StatePicker_WhenAStateIsChosen_RaisesIt()
    {
        var picker = Render<StatePicker>(p =>
            p.Add(s => s.Value, BehaviouralState.QuietAlert).Add(s => s.ValueChanged, state => _raised.Add(state))
        );

        picker.FindAll("input").Count.ShouldBe(6);
        picker.AllWords(".chosen").ShouldBe(["Quiet, alert"]);
        picker.Find("input[value=drowsy]").Change(true);

        _raised.ShouldBe([BehaviouralState.Drowsy]);
    }

    [Theory]
    [InlineData(0, "Finish without findings")]
    [InlineData(3, "Finish with 3 checked")]
    public void FinishPanel_Always_SaysWhatWillBeKept(int count, string text) =>
        Finish(count, ["Moro", "Landau"]).Find("button").Words().ShouldBe(text);

    [Fact]
    public void FinishPanel_WhenChecksAreLeft_NamesThem()
    {
        Finish(1, ["Moro", "Landau"]).Words().ShouldContain("Without an entry, and so still due: Moro, Landau.");
        Finish(1, []).Words().ShouldContain("Every check has an entry.");
    }

    [Fact]
    public void FinishPanel_WhileSaving_CannotBeTappedTwice() =>
        Finish(1, [], isBusy: true).Find("button").HasAttribute("disabled").ShouldBeTrue();

    [Fact]
    public void FinishPanel_WhenTapped_AsksToFinish()
    {
        Finish(1, []).Find("button").Click();

        _raised.ShouldBe(["finish"]);
    }

    [Fact]
    public void LeftOutList_WhenAnExclusionRulesAnItemOut_OffersAReviewAndNotAnAddition()
    {
        var list = Render<LeftOutList>(l =>
            l.Add(
                    p => p.Items,
                    [
                        (new LeftOutRow("moro", LeftOutBecause.Excluded, "Cervical instability."), VisitSamples.Check("moro")),
                        (new LeftOutRow("landau", LeftOutBecause.HandlingBudget, "Enough handling."), VisitSamples.Check("landau")),
                    ]
                )
                .Add(p => p.OnAdd, item => _raised.Add(item))
        );

        list.AllWords("h2").ShouldBe(["Due, and left for another visit", "Due, but excluded for this child"]);
        list.FindAll("section")[1].Words().ShouldContain("Cervical instability.");
        list.Control("Review: Moro").Click();
        list.Control("Add anyway: Landau").Click();

        _raised.ShouldBe(["moro", "landau"]);
    }

    [Fact]
    public void AddItemSearch_WhenAnotherNameIsTyped_FindsTheItem()
    {
        var item = Samples.Interpreter.Set.Items.First(candidate => candidate.Aliases.Count > 0);
        var search = Render<AddItemSearch>(s =>
            s.Add(p => p.Checks, [.. Samples.Interpreter.Set.Items.Select(each => VisitSamples.Check(each.Id))])
                .Add(p => p.OnAdd, id => _raised.Add(id))
        );

        search.FindAll("li").ShouldBeEmpty();
        search.Find("input").Input(item.Aliases[0].ToUpperInvariant());
        search.Control("Add " + item.Name).Click();

        _raised.ShouldBe([item.Id]);
        search.FindAll("li").ShouldBeEmpty();
    }

    [Fact]
    public void AddItemSearch_WhenNothingIsFound_SaysSo()
    {
        var search = Render<AddItemSearch>(s => s.Add(p => p.Checks, [VisitSamples.Check("moro")]));

        search.Find("input").Input("xyz");

        search.Find("[role=status]").Words().ShouldStartWith("No other item has \"xyz\"");
    }

    [Fact]
    public void TellList_Always_PutsTheSameDayFirstAndAloud()
    {
        var list = Render<TellList>(l =>
            l.Add(
                p => p.Items,
                [
                    Told("atnr", ItemState.Persisting, TellBy.Routine),
                    Told("moro", ItemState.Returned, TellBy.SameDay),
                    Told("rooting", ItemState.Integrated, null),
                ]
            )
        );

        list.AllWords("h3").ShouldBe(["Tell today, the same day", "Mention in the usual way"]);
        list.Find("[role=alert]").Words().ShouldContain("Moro Returned");
        list.Words().ShouldNotContain("Rooting");
        list.Words().ShouldContain("follow your local protocol");
    }

    [Fact]
    public void TellList_WhenNothingAsksForMore_SaysSo() =>
        Render<TellList>(l => l.Add(p => p.Items, [])).Words().ShouldContain("Nothing found at this visit asks for more");

    [Fact]
    public void FindingList_WhenAFindingWasCorrected_KeepsItStruckThroughWithTheReason()
    {
        var old = new VisitFindingRow(
            Samples.Seen("palmar_grasp", "2026-09-01", Response.Absent, Side.Left),
            Samples.Item("palmar_grasp"),
            "R. Marsh",
            default,
            "Wrong side"
        );
        var list = Findings(
            old,
            old with
            {
                Finding = old.Finding with { Id = Samples.Id(9), Side = Side.Right },
                CorrectedBecause = null,
            }
        );

        list.Find("li.gone del").Words().ShouldBe("no longer counts: Left: absent");
        list.Find("li.gone").Words().ShouldContain("Corrected: Wrong side");
        list.FindAll("button").Select(button => button.GetAttribute("aria-label")).ShouldBe(["Correct Palmar grasp Right"]);
        list.Find("button").Click();
        ((VisitFindingRow)_raised[0]).Finding.Id.ShouldBe(Samples.Id(9));
    }

    [Fact]
    public void FindingList_WhenTheStateDidNotSuit_SaysThatItDoesNotCount()
    {
        var row = new VisitFindingRow(
            Samples.Seen("moro", "2026-09-01", Response.Absent, state: BehaviouralState.Crying),
            Samples.Item("moro"),
            null,
            default,
            null
        );

        Findings(row).Words().ShouldContain("Does not count: crying is not a suitable state");
    }

    private static CheckedItem Told(string item, ItemState state, TellBy? tellBy)
    {
        var after = Samples.Result(item, state, Concern.Advisory);
        return new CheckedItem(
            Samples.Result(item),
            after,
            tellBy,
            tellBy is null ? null : new("The child's physician", "Soon", "In 2 weeks")
        );
    }

    private IRenderedComponent<FinishPanel> Finish(int count, IReadOnlyList<string> untouched, bool isBusy = false) =>
        Render<FinishPanel>(panel =>
            panel
                .Add(p => p.EnteredCount, count)
                .Add(p => p.Untouched, untouched)
                .Add(p => p.IsBusy, isBusy)
                .Add(p => p.OnFinish, () => _raised.Add("finish"))
        );

    private IRenderedComponent<FindingList> Findings(params VisitFindingRow[] rows) =>
        Render<FindingList>(list => list.Add(l => l.Findings, rows).Add(l => l.OnCorrect, row => _raised.Add(row)));
}

internal static class VisitSamples
{
    internal static VisitCheckRow Check(string item, string why = "Due", params string[] relatedTo) =>
        new(
            Samples.Item(item),
            Samples.Result(item, ItemState.Persisting, Concern.Advisory, "2026-09-01", "2026-09-20"),
            why,
            false,
            relatedTo,
            null
        );
}
