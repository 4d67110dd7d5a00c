using Bunit;
using Caseload.Web.Features.Children;
using Caseload.Web.Features.Record;

namespace Caseload.Components.Tests.Record;

public sealed class RecordPartTests : ComponentTest
{
    private static readonly DateTimeOffset _at = new(2026, 9, 1, 23, 5, 0, TimeSpan.FromHours(-5));

    [Fact]
    public void Check_OfAnIntactRecord_ShowsTheHashToNote()
    {
        var result = Render<VerifyResult>(part => part.Add(c => c.Outcome, new VerifyOutcome(12, "ab12", null)));

        result.Words().ShouldStartWith("Intact: 12 entries checked.");
        result.Find(".reference-number").Words().ShouldBe("ab12");
    }

    [Fact]
    public void Check_OfAnAlteredRecord_NamesTheFirstBrokenEntryAsAnAlert()
    {
        var outcome = new VerifyOutcome(4, "ab12", "Entry 5 was altered after it was sealed.");

        var result = Render<VerifyResult>(part => part.Add(c => c.Outcome, outcome));

        result.Find("[role=alert] .problem").Words().ShouldBe("The record was altered. Entry 5 was altered after it was sealed.");
        result.FindAll(".reference-number").ShouldBeEmpty();
    }

    [Fact]
    public void Entry_OfALivingRecord_LinksToTheChild_AndOfADestroyedOneDoesNot()
    {
        var row = new RecordRow(9, _at, "Una Ngo", "Opened the child's record", Samples.Id(1), "K-014", "Own caseload", "192.0.2.1");

        var table = Render<RecordTable>(part => part.Add(c => c.Rows, [row, row with { Number = 8, ChildId = null }]));

        table
            .AllWords("tbody tr:first-child td")
            .ShouldBe(["1 Sep 2026, 23:05", "Una Ngo", "Opened the child's record", "K-014", "Own caseload", "192.0.2.1"]);
        table.Find("a").GetAttribute("href").ShouldBe($"children/{Samples.Id(1)}");
        table.Find("tbody tr:last-child").Words().ShouldContain("K-014 (destroyed)");
        table.FindAll("a").Count.ShouldBe(1);
    }

    [Fact]
    public void Unusual_Always_ShowsEveryKindWithItsCount()
    {
        var groups = Enum.GetValues<UnusualKind>().Select(kind => new UnusualGroup(kind, 0, [])).ToList();
        groups[0] = new UnusualGroup(
            UnusualKind.ByReason,
            51,
            [new UnusualRow(_at, "Una Ngo", "Opened the child's record", "K-014", "192.0.2.1")]
        );

        var part = Render<UnusualGroups>(list => list.Add(c => c.Groups, groups));

        part.AllWords("summary")
            .ShouldBe([
                "Opened outside the own caseload, by a reason: 51",
                "More than 20 children opened by one person within an hour: 0",
                "Opened between 22:00 and 06:00: 0",
                "Asked for and not allowed: 0",
                "Failed sign-ins: 0",
            ]);
        part.Find("li").Words().ShouldBe("1 Sep 2026, 23:05 · Una Ngo · Opened the child's record · K-014 · from 192.0.2.1");
        part.Words().ShouldContain("The newest 1 of 51.");
    }

    [Fact]
    public void Looks_OfOnePersonAndDay_FoldListsIntoOneLine()
    {
        var row = new LookRow(
            Samples.TodayOn,
            "Una Ngo",
            [new("Opened the child's record", "Own caseload", 2), new("Finished a visit", "Own caseload", 1)],
            3
        );

        var rows = Render<LookRows>(list => list.Add(c => c.Rows, [row]));

        rows.AllWords("li .act")
            .ShouldBe([
                "Opened the child's record, 2 times · Own caseload",
                "Finished a visit · Own caseload",
                "Appeared in a list, 3 times",
            ]);
    }
}
