using Bunit;
using Caseload.Domain.Interpretation;
using Caseload.Web.Features.Due;

namespace Caseload.Components.Tests.Due;

public sealed class DueChildCardTests : ComponentTest
{
    [Theory]
    [InlineData("2026-08-31", "overdue 1 day")]
    [InlineData("2026-08-22", "overdue 10 days")]
    [InlineData("2026-08-01", "overdue 4 weeks")]
    [InlineData("2026-09-01", "by Tue 1 Sep")]
    [InlineData("2026-09-09", "by Wed 9 Sep")]
    public void Line_Always_SaysByWhen(string through, string text)
    {
        var when = Card([Line("Moro", through)]).Find(".due-lines .nowrap");

        when.Words().ShouldBe(text);
        when.ClassList.Contains("overdue").ShouldBe(text.StartsWith("overdue", StringComparison.Ordinal));
    }

    [Fact]
    public void Line_Always_SaysWhy() =>
        Card([Line("Moro", "2026-09-09")]).Find(".due-lines li").Words().ShouldContain("Moro Last look before the usual deadline");

    [Fact]
    public void Lines_WhenThereAreMoreThanFour_OpenOnDemand()
    {
        var card = Card([.. Enumerable.Range(1, 6).Select(number => Line($"Item {number}", "2026-09-09"))]);

        card.AllWords(".due-lines strong").ShouldBe(["Item 1", "Item 2", "Item 3", "Item 4"]);
        card.Control("Show 2 more").Click();
        card.FindAll(".due-lines li").Count.ShouldBe(6);
        card.Control("Show fewer").Click();
        card.FindAll(".due-lines li").Count.ShouldBe(4);
    }

    [Fact]
    public void Start_WhenNoVisitIsOpen_LeadsToANewOne()
    {
        var start = Card([Line("Moro", "2026-09-09")]).Control("Start visit: Anna Berg");

        start.GetAttribute("href").ShouldBe($"visits/new?child={Samples.Id(1)}");
        start.Words().ShouldBe("Start visit");
    }

    [Fact]
    public void Start_WhenAVisitIsOpen_LeadsBackToIt() =>
        Card([Line("Moro", "2026-09-09")], Samples.Id(7))
            .Control("Continue visit: Anna Berg")
            .GetAttribute("href")
            .ShouldBe($"visits/{Samples.Id(7)}");

    [Theory]
    [InlineData(Concern.Advisory, false)]
    [InlineData(Concern.Act, true)]
    [InlineData(Concern.SameDay, true)]
    public void Card_WhenTheWorstLineMustBeActedOn_StandsOut(Concern worst, bool isPressing) =>
        Card([Line("Moro", "2026-09-09"), Line("Rooting", "2026-09-09", worst)])
            .Find("article")
            .ClassList.Contains("pressing")
            .ShouldBe(isPressing);

    [Theory]
    [InlineData(1, "1 due item is ruled out by this child's exclusions.")]
    [InlineData(3, "3 due items are ruled out by this child's exclusions.")]
    public void Card_WhenExclusionsRuleItemsOut_SaysHowMany(int count, string text) =>
        Card([Line("Moro", "2026-09-09")], excludedCount: count).Words().ShouldEndWith(text);

    private static DueLine Line(string name, string through, Concern concern = Concern.None) =>
        new(
            name,
            CheckPurpose.BeforeDeadline,
            Samples.Day(through),
            Samples.Day(through) < Samples.TodayOn,
            concern,
            ItemState.PresentAsExpected,
            "Last look before the usual deadline"
        );

    private IRenderedComponent<DueChildCard> Card(IReadOnlyList<DueLine> lines, Guid? openVisitId = null, int excludedCount = 0) =>
        Render<DueChildCard>(card =>
            card.Add(
                    c => c.Child,
                    new DueChildRow(
                        Samples.Id(1),
                        "K-014",
                        "Anna Berg",
                        "5 m 27 d corrected",
                        "R. Marsh",
                        Samples.TodayOn,
                        false,
                        openVisitId,
                        lines,
                        excludedCount
                    )
                )
                .Add(c => c.TodayOn, Samples.TodayOn)
        );
}
