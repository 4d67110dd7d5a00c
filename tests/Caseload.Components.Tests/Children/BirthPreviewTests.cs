using Bunit;
using Caseload.Domain.Ages;
using Caseload.Web.Features.Children;

namespace Caseload.Components.Tests.Children;

public sealed class BirthPreviewTests : ComponentTest
{
    [Fact]
    public void Preview_WhenBornPreterm_GivesCorrectedAge()
    {
        var preview = Of(Form("31", "4"));

        preview.Ages!.Basis.ShouldBe(AgeBasis.Corrected);
        preview.Ages.Corrected!.Value.TotalDays.ShouldBe(180);
        preview.Refusals.ShouldBeEmpty();
    }

    [Fact]
    public void Preview_Always_ListsEightChecksSoonestFirstAndCountsTheRest()
    {
        var preview = Of(Form("31", "4"));
        var planned = Samples
            .Interpreter.Interpret(new(Samples.Preterm, Samples.Day("2026-08-01")), [], Samples.TodayOn)
            .Count(result => result.NextCheck is not null);

        preview.Checks.Count.ShouldBe(8);
        preview.Checks.Select(check => check.Check.Span.From).ShouldBeInOrder();
        preview.LaterCount.ShouldBe(planned - 8);
        preview.LaterCount.ShouldBeGreaterThan(0);
        preview.Checks.ShouldAllBe(check => check.IsOpen == check.Check.Span.From <= Samples.TodayOn && check.Why.Length > 0);
    }

    [Theory]
    [InlineData("19", "6", "gestation")]
    [InlineData("45", "0", "gestation")]
    [InlineData("31", "7", "gestation")]
    [InlineData("x", "0", "gestation")]
    [InlineData("", "", "gestation")]
    public void Preview_WhenTheWeeksCannotBe_SaysSoAtTheField(string weeks, string days, string field)
    {
        var preview = Of(Form(weeks, days));

        preview.Ages.ShouldBeNull();
        preview.Checks.ShouldBeEmpty();
        preview.Refusals.ShouldHaveSingleItem().Field.ShouldBe(field);
    }

    [Fact]
    public void Preview_WhenTheBirthDateIsMissing_AsksForIt()
    {
        var form = Form("31", "4");
        form.BornOn = null;

        Of(form).Refusals.ShouldHaveSingleItem().Field.ShouldBe("born");
    }

    [Fact]
    public void Preview_WhenTheExpectedDateIsGiven_GivesTheSameAges()
    {
        var form = Form("", "");
        form.Entry = GestationEntry.Expected;
        form.ExpectedOn = Samples.Day("2026-03-05");

        var byExpectedDate = Of(form).Ages!;
        var byWeeks = Of(Form("31", "4")).Ages!;

        byExpectedDate.Corrected.ShouldBe(byWeeks.Corrected);
        byExpectedDate.Postmenstrual.ShouldBe(byWeeks.Postmenstrual);
    }

    [Fact]
    public void Panel_WhenBornPreterm_ShowsCorrectedAgeAndFirstChecks()
    {
        var panel = Panel(Form("31", "4"));

        panel.Find(".lead-age").Words().ShouldBe("Corrected age5 m 27 d");
        panel.FindAll(".preview-checks > li").Count.ShouldBe(8);
        panel.Words().ShouldMatch("And [0-9]+ more, all on the child's page");
        panel.AllWords(".preview-checks .nowrap").ShouldAllBe(text => text.StartsWith("now, by ") || text.Contains(" to "));
    }

    [Fact]
    public void Panel_WhenTheFactsCannotBeRead_SaysWhatWillAppear()
    {
        var panel = Panel(Form("19", "0"));

        panel.FindAll("li, dl").ShouldBeEmpty();
        panel.Words().ShouldContain("appear here as soon as birth date and gestation are given");
    }

    private static ChildForm Form(string weeks, string days) =>
        new()
        {
            BornOn = Samples.Day("2026-01-05"),
            Weeks = weeks,
            Days = days,
            EnrolledOn = Samples.Day("2026-08-01"),
        };

    private static BirthPreview Of(ChildForm form) => BirthPreview.Of(form, Samples.Interpreter, Samples.TodayOn);

    private IRenderedComponent<BirthPreviewPanel> Panel(ChildForm form) =>
        Render<BirthPreviewPanel>(panel => panel.Add(p => p.Preview, Of(form)));
}
