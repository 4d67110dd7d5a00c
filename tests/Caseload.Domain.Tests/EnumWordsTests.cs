using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests;

public sealed class EnumWordsTests
{
    [Theory]
    [InlineData(BehaviouralState.QuietAlert, "quiet-alert")]
    [InlineData(BehaviouralState.Crying, "crying")]
    public void ToWord_WhenTermHasSeveralWords_PutsHyphensBetween(BehaviouralState state, string word)
    {
        state.ToWord().ShouldBe(word);
        EnumWords.FromWord<BehaviouralState>(word.ToUpperInvariant() + " ").ShouldBe(state);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("QuietAlert")]
    [InlineData("3")]
    public void FromWord_WhenWordIsUnknown_IsNull(string? word) => EnumWords.FromWord<BehaviouralState>(word).ShouldBeNull();

    [Fact]
    public void FromWord_WhenWordWasWritten_GivesTheTermBack()
    {
        Enum.GetValues<ItemState>().ShouldAllBe(state => EnumWords.FromWord<ItemState>(state.ToWord()) == state);
        Enum.GetValues<Exclusion>().ShouldAllBe(exclusion => EnumWords.FromWord<Exclusion>(exclusion.ToWord()) == exclusion);
    }

    [Fact]
    public void ListOf_WhenAsked_FollowsTheOrder() =>
        EnumWords.ListOf<Response>().ShouldBe("absent, weak, typical, brisk, obligatory, partial, complete");
}
