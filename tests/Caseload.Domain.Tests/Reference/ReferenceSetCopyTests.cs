using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Reference;

public sealed class ReferenceSetCopyTests
{
    private static readonly ReferenceSet Set = ReferenceSets.Default;
    private static readonly DateOnly PublishedOn = new(2026, 12, 1);

    private static readonly ItemRuleFigures LaterMoro = Set.Find("moro")!.Rule with { Latest = new MonthFigure(7, ["common-practice"]) };

    [Fact]
    public void CopyAs_WhenAFigureChanges_ChangesThatItemOnlyAndKeepsTheReason()
    {
        var copy = Set.CopyAs("ward-3", "1", PublishedOn, " Local protocol. ", Changes(("moro", LaterMoro))).Value;

        (copy.Key, copy.BasedOn, copy.ChangeReason, copy.PublishedOn).ShouldBe(("ward-3@1", "published@1", "Local protocol.", PublishedOn));
        copy.Find("moro")!.Rule.ShouldBe(LaterMoro);
        copy.Items.Where(item => item.Id != "moro").ShouldBe(Set.Items.Where(item => item.Id != "moro"));
        Set.Find("moro")!.Rule.Latest!.Months.ShouldBe(6);
    }

    [Theory]
    [InlineData("")]
    [InlineData("  ")]
    public void CopyAs_WhenNoReasonIsGiven_AsksForOne(string reason)
    {
        var refusal = Set.CopyAs("ward-3", "1", PublishedOn, reason, Changes(("moro", LaterMoro))).Refusals.ShouldHaveSingleItem();

        refusal.ShouldBe(new Refusal("reason", "Say why the figures change. The reason is kept with the version."));
    }

    [Fact]
    public void CopyAs_WhenNothingChanges_Refuses() =>
        Set.CopyAs("ward-3", "1", PublishedOn, "Local protocol.", Changes())
            .Refusals.ShouldHaveSingleItem()
            .ShouldBe(new Refusal("changes", "Nothing differs from the version it is copied from. Change at least one figure."));

    [Fact]
    public void CopyAs_WhenTheItemIsUnknown_NamesIt() =>
        Set.CopyAs("ward-3", "1", PublishedOn, "Local protocol.", Changes(("moro", LaterMoro), ("mooro", LaterMoro)))
            .Refusals.ShouldHaveSingleItem()
            .ShouldBe(new Refusal("changes", "\"mooro\" is not an item of published@1. Use an item id of that set."));

    [Fact]
    public void CopyAs_WhenNameAndVersionAreTaken_Refuses() =>
        Set.CopyAs("published", "1", PublishedOn, "Local protocol.", Changes(("moro", LaterMoro)))
            .Refusals.ShouldHaveSingleItem()
            .ShouldBe(new Refusal("version", "published@1 is published and never changes. Give the copy another name or version."));

    [Fact]
    public void CopyAs_WhenTheFiguresCannotStand_NamesEveryFault()
    {
        var early = LaterMoro with { Latest = new MonthFigure(5, ["nobody"]) };

        Set.CopyAs("Ward 3", "1", PublishedOn, "Local protocol.", Changes(("moro", early)))
            .Refusals.Select(refusal => refusal.Field)
            .ShouldBe(["name", "moro.latest", "moro.latest"]);
    }

    [Fact]
    public void CopyAs_WhenReadBack_EqualsWhatWasWritten()
    {
        var copy = Set.CopyAs("ward-3", "1", PublishedOn, "Local protocol.", Changes(("moro", LaterMoro))).Value;

        var read = ReferenceSets.Read(ReferenceSets.Write(copy)).Value;

        ReferenceSets.Write(read).ShouldBe(ReferenceSets.Write(copy));
        (read.BasedOn, read.ChangeReason).ShouldBe(("published@1", "Local protocol."));
        read.Find("moro")!.Rule.Latest!.Months.ShouldBe(7);
    }

    private static Dictionary<string, ItemRuleFigures> Changes(params (string Id, ItemRuleFigures Rule)[] changes) =>
        changes.ToDictionary(change => change.Id, change => change.Rule);
}
