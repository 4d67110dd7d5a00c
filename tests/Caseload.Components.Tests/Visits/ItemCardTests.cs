using AngleSharp.Dom;
using Bunit;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Visits;

namespace Caseload.Components.Tests.Visits;

public sealed class ItemCardTests : BunitContext
{
    private static readonly Interpreter _interpreter = new(ReferenceSets.Default, ReviewPolicy.Default);

    private readonly List<EntryForm> _changes = [];
    private int _undoCount;
    private int _removeCount;

    [Fact]
    public void SidedItem_TapOnASide_RaisesThatSideInThePresentState()
    {
        var card = Show("moro", present: BehaviouralState.QuietAlert);

        Choose(card, "Moro: Left", "weak");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.Right, entry.State).ShouldBe((Response.Weak, null, BehaviouralState.QuietAlert));
    }

    [Fact]
    public void SidedItem_TapOnBothAlike_RaisesBothSides()
    {
        var card = Show("moro");

        Choose(card, "Moro: Both alike", "obligatory");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.Right).ShouldBe((Response.Obligatory, Response.Obligatory));
    }

    [Fact]
    public void SidedItem_WithDifferentSides_HasNothingChosenUnderBothAlike()
    {
        var card = Show("moro", entry => entry with { Left = Response.Typical, Right = Response.Absent });

        Chosen(card, "Moro: Both alike").ShouldBeEmpty();
        Chosen(card, "Moro: Left").ShouldBe(["typical"]);
        Chosen(card, "Moro: Right").ShouldBe(["absent"]);
    }

    [Fact]
    public void ItemWithoutSides_HasOneRowAndRaisesBoth()
    {
        var card = Show("suck_swallow");

        card.FindAll("[role=radiogroup]").ShouldHaveSingleItem();
        Choose(card, "Suck-swallow: response", "brisk");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.Right).ShouldBe((Response.Brisk, Response.Brisk));
    }

    [Fact]
    public void EmergingItem_OffersItsOwnWords()
    {
        var card = Show("landau");

        card.FindAll("input[type=radio]").Select(radio => radio.GetAttribute("value")).ShouldBe(["absent", "partial", "complete"]);
    }

    [Fact]
    public void UnsuitableState_BeforeAnything_WarnsAtOnce()
    {
        var card = Show("moro", present: BehaviouralState.Crying);

        card.Find(".unsuitable")
            .TextContent.ShouldContain(
                "Crying is not a suitable state for this item: this will not count. Try again when quiet, alert or active, alert."
            );
    }

    [Fact]
    public void UnsuitableState_OfTheEntry_StaysSaidAfterTheInfantHasCalmed()
    {
        var card = Show(
            "moro",
            entry => entry.WithResponse(Side.Both, Response.Weak, BehaviouralState.Crying),
            present: BehaviouralState.QuietAlert
        );

        card.Find(".unsuitable").TextContent.ShouldContain("Crying is not a suitable state");
        Press(card, "Clear it, to try again");
        _undoCount.ShouldBe(1);
    }

    [Fact]
    public void SuitableState_DoesNotWarn()
    {
        var card = Show("moro", entry => entry.WithResponse(Side.Both, Response.Weak, BehaviouralState.ActiveAlert));

        card.FindAll(".unsuitable").ShouldBeEmpty();
    }

    [Fact]
    public void StateOfOneCheck_CanDifferFromThePresentState()
    {
        var card = Show(
            "moro",
            entry => entry.WithResponse(Side.Both, Response.Weak, BehaviouralState.QuietAlert),
            present: BehaviouralState.QuietAlert
        );

        Field(card, "State during this check").Change("active-alert");

        _changes.ShouldHaveSingleItem().State.ShouldBe(BehaviouralState.ActiveAlert);
    }

    [Fact]
    public void CouldNotTest_WithAReason_RaisesTheReasonAndNoResponse()
    {
        var card = Show("moro", entry => entry.WithResponse(Side.Both, Response.Weak, null), present: BehaviouralState.Drowsy);

        Field(card, "Could not test").Change("tired");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.Right, entry.NotTested).ShouldBe((null, null, NotTestedReason.Tired));
    }

    [Fact]
    public void CouldNotTest_WithOneSideSeen_SpeaksOfTheOther()
    {
        var card = Show("moro", entry => entry.WithResponse(Side.Left, Response.Weak, BehaviouralState.QuietAlert));

        Field(card, "Right could not be tested").Change("cast-or-harness");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.Right, entry.NotTested).ShouldBe((Response.Weak, null, NotTestedReason.CastOrHarness));
    }

    [Fact]
    public void CouldNotTest_AndThenAResponse_LeavesTheResponse()
    {
        var card = Show("suck_swallow", entry => entry.WithNotTested(NotTestedReason.Hungry, BehaviouralState.Crying));

        Choose(card, "Suck-swallow: response", "typical");

        var entry = _changes.ShouldHaveSingleItem();
        (entry.Left, entry.NotTested).ShouldBe((Response.Typical, null));
    }

    [Fact]
    public void Technique_IsOfferedOnlyWhereVariantsExist()
    {
        Show("suck_swallow").FindAll("label").ShouldContain(label => label.TextContent == "Technique");
        Show("rooting").FindAll("label").ShouldNotContain(label => label.TextContent == "Technique");
    }

    [Fact]
    public void Cautions_AreAlwaysThere()
    {
        var card = Show("moro");

        card.FindAll(".cautions li").Select(line => line.TextContent).ShouldBe(ReferenceSets.Default.Find("moro")!.Cautions);
    }

    [Fact]
    public void Done_FoldsTheCardToOneLineThatCanBeUnfolded()
    {
        var card = Show("moro", entry => entry.WithResponse(Side.Both, Response.Weak, BehaviouralState.QuietAlert));
        Press(card, "Done, next");
        var folded = _changes.ShouldHaveSingleItem();
        folded.IsFolded.ShouldBeTrue();

        var line = Show("moro", _ => folded);

        line.FindAll("article").ShouldBeEmpty();
        line.Markup.ShouldContain("Weak, both sides alike");
        Press(line, "Edit");
        _changes[^1].IsFolded.ShouldBeFalse();
        Press(line, "Undo");
        _undoCount.ShouldBe(1);
    }

    [Fact]
    public void FoldedLine_OfAFindingThatDoesNotCount_SaysSo()
    {
        var line = Show("moro", entry => entry.WithResponse(Side.Both, Response.Weak, BehaviouralState.Crying) with { IsFolded = true });

        line.Markup.ShouldContain("Does not count: repeat in a suitable state");
    }

    [Fact]
    public void Problem_UnfoldsTheCardAndIsShownInIt()
    {
        var card = Show(
            "moro",
            entry => entry.WithResponse(Side.Both, Response.Weak, null) with { IsFolded = true },
            problem: "Moro is dated wrongly."
        );

        card.Find("article [role=alert]").TextContent.ShouldBe("Moro is dated wrongly.");
    }

    [Fact]
    public void AddedItem_WithoutAnEntry_CanBeTakenOutAgain()
    {
        var card = Show("moro", isAdded: true);

        Press(card, "Take out again");

        _removeCount.ShouldBe(1);
    }

    private IRenderedComponent<ItemCard> Show(
        string item,
        Func<EntryForm, EntryForm>? entry = null,
        BehaviouralState? present = null,
        string? problem = null,
        bool isAdded = false
    )
    {
        var bornOn = new DateOnly(2026, 3, 1);
        var result = _interpreter
            .Interpret(new ChildFacts(BirthFacts.Restore(bornOn, 280)), [], bornOn.AddDays(60))
            .Single(result => result.Item.Id == item);
        var blank = new EntryForm { Item = item };
        var shown = new VisitCard(
            1,
            new VisitCheckRow(result.Item, result, "Not looked at yet", IsOverdue: false, RelatedTo: [], RuledOutBy: null),
            entry?.Invoke(blank) ?? blank,
            present,
            isAdded,
            problem
        );
        return Render<ItemCard>(parameters =>
            parameters
                .Add(card => card.Card, shown)
                .Add(card => card.EntryChanged, _changes.Add)
                .Add(card => card.OnUndo, () => _undoCount++)
                .Add(card => card.OnRemove, () => _removeCount++)
        );
    }

    private static void Choose(IRenderedComponent<ItemCard> card, string group, string word) =>
        card.Find($"[role=radiogroup][aria-label='{group}'] input[value='{word}']").Change(word);

    private static IEnumerable<string?> Chosen(IRenderedComponent<ItemCard> card, string group) =>
        card.FindAll($"[role=radiogroup][aria-label='{group}'] input[checked]").Select(radio => radio.GetAttribute("value"));

    private static IElement Field(IRenderedComponent<ItemCard> card, string label) =>
        card.Find("#" + card.FindAll("label").Single(candidate => candidate.TextContent == label).GetAttribute("for"));

    private static void Press(IRenderedComponent<ItemCard> card, string text) =>
        card.FindAll("button").Single(button => button.TextContent.Trim() == text).Click();
}
