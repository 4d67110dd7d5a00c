using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Reference;

public sealed class ReferenceSetRulesTests
{
    private static readonly string[] Practice = [ReferenceSetRules.CommonPractice];
    private static readonly string[] Nobody = ["NOBODY"];

    /// <summary>One way to spoil the set, the place the fault must name, and words it must say.</summary>
    private sealed record Spoiling(Func<ReferenceSet, ReferenceSet> Spoil, string Where, string What);

    private static readonly Dictionary<string, Spoiling> Spoilings = new()
    {
        ["set name"] = new(set => set with { Name = "Ward 3" }, "name", "lower-case"),
        ["set version"] = new(set => set with { Version = "" }, "version", "lower-case"),
        ["no items"] = new(set => set with { Items = [], Concerns = [] }, "items", "no items"),
        ["source twice"] = new(
            set => set with { Sources = [.. set.Sources, set.FindSource("KUMC")!] },
            "sources",
            "\"KUMC\" stands there 2 times"
        ),
        ["item twice"] = new(set => set with { Items = [.. set.Items, set.Find("moro")!] }, "items", "\"moro\" stands there 2 times"),
        ["concern twice"] = new(
            set => set with { Concerns = [.. set.Concerns, set.Concerns[0]] },
            "concerns",
            "\"feeding\" stands there 2 times"
        ),
        ["concern without item"] = new(
            set => set with { Concerns = [set.Concerns[0] with { Items = ["tickling"] }] },
            "concern feeding",
            "\"tickling\", which is not an item"
        ),
        ["concern without source"] = new(
            set => set with { Concerns = [set.Concerns[0] with { Sources = [] }] },
            "concern feeding",
            "names no source"
        ),
        ["empty name"] = Item("moro", item => item with { Name = " " }, "moro.name", "empty"),
        ["empty stimulus"] = Item("moro", item => item with { Stimulus = "" }, "moro.stimulus", "empty"),
        ["empty response"] = Item("moro", item => item with { Response = "" }, "moro.response", "empty"),
        ["empty purpose"] = Item("moro", item => item with { Purpose = "" }, "moro.purpose", "empty"),
        ["effort"] = Item("moro", item => item with { Effort = 4 }, "moro.effort", "4 is not 1, 2 or 3"),
        ["no best state"] = Item("moro", item => item with { States = item.States with { Best = [] } }, "moro.states", "No best state"),
        ["states without source"] = Item(
            "moro",
            item => item with { States = item.States with { Sources = Nobody } },
            "moro.states",
            "\"NOBODY\""
        ),
        ["figure of unknown source"] = Item(
            "moro",
            item => item with { Figures = [item.Figures[0] with { Source = "NOBODY" }] },
            "moro.figures",
            "\"NOBODY\""
        ),
        ["figure backwards"] = Item(
            "moro",
            item => item with { Figures = [item.Figures[0] with { From = 31 }] },
            "moro.figures",
            "31 comes after 30"
        ),
        ["practice dressed as a source"] = Item(
            "moro",
            item => item with { Figures = [item.Figures[0] with { Source = ReferenceSetRules.CommonPractice }] },
            "moro.figures",
            "must be marked so"
        ),
        ["source marked as practice"] = Item(
            "moro",
            item => item with { Figures = [item.Figures[0] with { Certainty = Certainty.Practice }] },
            "moro.figures",
            "must be marked so"
        ),
        ["onset without source"] = Rule(
            "moro",
            rule => rule with { Onset = rule.Onset with { Sources = [] } },
            "moro.onset",
            "names no source"
        ),
        ["onset too early"] = Rule("moro", rule => rule with { Onset = rule.Onset with { From = 19 } }, "moro.onset", "within 20 to 44"),
        ["onset too late"] = Rule("moro", rule => rule with { Onset = rule.Onset with { Through = 45 } }, "moro.onset", "within 20 to 44"),
        ["onset backwards"] = Rule(
            "moro",
            rule => rule with { Onset = rule.Onset with { From = 29 } },
            "moro.onset",
            "29 to 28 must run upwards"
        ),
        ["onset after the window"] = Rule(
            "stnr",
            rule => rule with { Onset = rule.Onset with { From = 9, Through = 9 } },
            "stnr.onset",
            "only after its usual window"
        ),
        ["earliest of unknown source"] = Rule(
            "moro",
            rule => rule with { Earliest = rule.Earliest! with { Sources = Nobody } },
            "moro.earliest",
            "\"NOBODY\""
        ),
        ["window without source"] = Rule("moro", rule => rule with { UsualFrom = new(4, []) }, "moro.usualFrom", "names no source"),
        ["window missing"] = Rule("moro", rule => rule with { UsualFrom = null }, "moro.usualFrom", "An item that gives way needs it"),
        ["window of an emerging item"] = Rule(
            "landau",
            rule => rule with { UsualFrom = new(3, Practice) },
            "landau.usualFrom",
            "Only an item that gives way"
        ),
        ["deadline missing"] = Rule("landau", rule => rule with { UsualThrough = null }, "landau.usualThrough", "needs a usual deadline"),
        ["deadline for life"] = Rule(
            "startle",
            rule => rule with { UsualThrough = new(6, Practice) },
            "startle.usualThrough",
            "no deadline"
        ),
        ["deadline before the window"] = Rule(
            "moro",
            rule => rule with { UsualThrough = new(3, Practice) },
            "moro.usualThrough",
            "(3 months) comes before"
        ),
        ["limit before the deadline"] = Rule(
            "moro",
            rule => rule with { Latest = new(5, Practice) },
            "moro.latest",
            "(5 months) comes before"
        ),
        ["age below zero"] = Rule(
            "tlr_prone",
            rule => rule with { UsualFrom = new(-1, Practice) },
            "tlr_prone.usualFrom",
            "within 0 to 60"
        ),
        ["age above five years"] = Rule("moro", rule => rule with { Latest = new(61, Practice) }, "moro.latest", "within 0 to 60"),
        ["absence backwards"] = Rule(
            "moro",
            rule => rule with { Absence = new(2, 1, Practice) },
            "moro.absence",
            "2 to 1 months must run upwards"
        ),
        ["absence in the window"] = Rule(
            "moro",
            rule => rule with { Absence = new(0, 5, Practice) },
            "moro.absence",
            "cannot matter in the window"
        ),
        ["absence of an emerging item"] = Rule(
            "landau",
            rule => rule with { Absence = new(0, 5, Practice) },
            "landau.absence",
            "Only an item that gives way"
        ),
        ["reflex that fades again"] = Rule(
            "moro",
            rule => rule with { Ends = new(12, 24, Practice) },
            "moro.ends",
            "Only an emerging item"
        ),
        ["reflex accepted in part"] = Rule(
            "moro",
            rule => rule with { PartialAcceptedThrough = new(12, Practice) },
            "moro.ends",
            "Only an emerging item"
        ),
        ["part without source"] = Rule(
            "protective_forward",
            rule => rule with { PartialAcceptedThrough = new(12, Nobody) },
            "protective_forward.partialAcceptedThrough",
            "\"NOBODY\""
        ),
        ["fading backwards"] = Rule("landau", rule => rule with { Ends = new(24, 12, Practice) }, "landau.ends", "24 to 12 months"),
    };

    public static TheoryData<string> Ways => [.. Spoilings.Keys];

    [Fact]
    public void FaultsOf_WhenSetIsBuiltIn_AreNone() => ReferenceSetRules.FaultsOf(ReferenceSets.Default).ShouldBeEmpty();

    [Theory]
    [MemberData(nameof(Ways))]
    public void FaultsOf_WhenOneThingIsWrong_NameItAndItsPlace(string way)
    {
        var (spoil, where, what) = Spoilings[way];

        var fault = ReferenceSetRules.FaultsOf(spoil(ReferenceSets.Default)).ShouldHaveSingleItem();

        fault.Where.ShouldBe(where);
        fault.What.ShouldContain(what);
    }

    [Theory]
    [InlineData("window missing", "figure backwards")]
    [InlineData("set name", "concern without item")]
    [InlineData("limit before the deadline", "absence of an emerging item")]
    [InlineData("onset too late", "deadline for life")]
    public void FaultsOf_WhenTwoThingsAreWrong_NameBoth(string one, string other)
    {
        var spoiled = Spoilings[other].Spoil(Spoilings[one].Spoil(ReferenceSets.Default));

        ReferenceSetRules
            .FaultsOf(spoiled)
            .Select(fault => fault.Where)
            .ShouldBe([Spoilings[one].Where, Spoilings[other].Where], ignoreOrder: true);
    }

    private static Spoiling Item(string id, Func<ReferenceItem, ReferenceItem> change, string where, string what) =>
        new(set => set with { Items = [.. set.Items.Select(item => item.Id == id ? change(item) : item)] }, where, what);

    private static Spoiling Rule(string id, Func<ItemRuleFigures, ItemRuleFigures> change, string where, string what) =>
        Item(id, item => item with { Rule = change(item.Rule) }, where, what);
}
