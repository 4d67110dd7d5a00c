using System.Xml.Linq;
using Bunit;
using Caseload.Domain.Interpretation;
using Caseload.Web.Ui;

namespace Caseload.Components.Tests.Ui;

public sealed class StateChipTests : ComponentTest
{
    [Fact]
    public void States_Always_DifferInShapeAndInWords()
    {
        var chips = Enum.GetValues<ItemState>().Select(state => Chip(state)).ToList();

        chips.Count.ShouldBe(15);
        chips.Select(chip => chip.Find("svg").InnerHtml).Distinct().Count().ShouldBe(15);
        chips.Select(chip => chip.Words()).Distinct().Count().ShouldBe(15);
    }

    [Theory]
    [InlineData(ItemState.NotYetExpected, "Not yet expected")]
    [InlineData(ItemState.ExpectedNotYetSeen, "Expected, not yet seen")]
    [InlineData(ItemState.PresentAsExpected, "Present as expected")]
    [InlineData(ItemState.Fading, "Fading")]
    [InlineData(ItemState.Integrated, "Integrated")]
    [InlineData(ItemState.AwaitingConfirmation, "Awaiting confirmation")]
    [InlineData(ItemState.Persisting, "Persisting")]
    [InlineData(ItemState.DeadlinePassedUnchecked, "Deadline passed without a check")]
    [InlineData(ItemState.OneSided, "One-sided")]
    [InlineData(ItemState.Obligatory, "Obligatory")]
    [InlineData(ItemState.Returned, "Returned")]
    [InlineData(ItemState.Emerging, "Emerging")]
    [InlineData(ItemState.Established, "Established")]
    [InlineData(ItemState.Late, "Late")]
    public void State_WhenShown_SaysItsTradeWords(ItemState state, string words) => Chip(state).Words().ShouldBe(words);

    [Theory]
    [InlineData(ItemState.Persisting, 1, "Persisting, past the usual age")]
    [InlineData(ItemState.Persisting, 2, "Persisting, past the latest limit")]
    [InlineData(ItemState.Late, 1, "Late, past the usual age")]
    [InlineData(ItemState.Late, 2, "Late, past the latest limit")]
    public void State_WhenItHasAStep_SaysWhich(ItemState state, int step, string words) => Chip(state, step).Words().ShouldBe(words);

    [Theory]
    [InlineData(false, "Absent when expected, not confirmed")]
    [InlineData(true, "Absent when expected, confirmed")]
    public void Absence_WhenShown_SaysWhetherItIsConfirmed(bool isConfirmed, string words) =>
        Chip(ItemState.AbsentWhenExpected, isConfirmed: isConfirmed).Words().ShouldBe(words);

    [Fact]
    public void Shape_WhenReadAloud_IsSkipped() => Chip(ItemState.Persisting).Find("svg").GetAttribute("aria-hidden").ShouldBe("true");

    [Fact]
    public void Concern_WhenItIsUrgent_ReachesTheStyle() =>
        Chip(ItemState.Returned, concern: Concern.SameDay).Find(".state").ClassList.ShouldContain("concern-same-day");

    private IRenderedComponent<StateChip> Chip(ItemState state, int step = 0, bool isConfirmed = false, Concern concern = Concern.None) =>
        Render<StateChip>(chip =>
            chip.Add(c => c.State, state).Add(c => c.Concern, concern).Add(c => c.Step, step).Add(c => c.IsConfirmed, isConfirmed)
        );
}

public sealed class StateMarkTests
{
    private static readonly string[] _drawn = [.. Enum.GetValues<ItemState>().Select(StateMark.PathsOf)];

    [Fact]
    public void Shapes_Always_DifferFromEachOther() => _drawn.Distinct().Count().ShouldBe(15);

    [Fact]
    public void Shapes_Always_TakeTheColourOfTheirText() =>
        _drawn
            .SelectMany(paths => XElement.Parse($"<g>{paths}</g>").Descendants().Attributes())
            .Where(attribute => attribute.Name == "fill" || attribute.Name == "stroke")
            .ShouldAllBe(attribute => attribute.Value == "currentColor" || attribute.Value == "none");

    [Fact]
    public void Shape_WhenTheStateIsUnknown_IsRefused() =>
        Should.Throw<ArgumentOutOfRangeException>(() => StateMark.PathsOf((ItemState)99));
}
