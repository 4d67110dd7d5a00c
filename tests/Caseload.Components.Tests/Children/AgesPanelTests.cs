using Bunit;
using Caseload.Domain.Ages;
using Caseload.Web.Features.Children;

namespace Caseload.Components.Tests.Children;

public sealed class AgesPanelTests : ComponentTest
{
    [Fact]
    public void Ages_WhenBornPreterm_PutCorrectedAgeFirst()
    {
        var panel = Panel(Samples.Preterm, "2026-09-01");

        panel
            .AllWords("dl > div")
            .ShouldBe(["Corrected age5 m 27 d", "Since birth7 m 27 d", "Postmenstrual65+5 weeks", "Expected date5 Mar 2026"]);
        panel.Find(".lead-age").Words().ShouldStartWith("Corrected age");
        panel.FindAll(".age-caution").ShouldBeEmpty();
    }

    [Fact]
    public void Ages_BeforeTheExpectedDate_PutPostmenstrualAgeFirst()
    {
        var panel = Panel(Samples.Preterm, "2026-02-02");

        panel.Find(".lead-age").Words().ShouldBe("Postmenstrual age35+4 weeks");
        panel.Words().ShouldNotContain("Corrected age");
        panel.Find(".age-caution").Words().ShouldStartWith("The expected date has not come yet");
    }

    [Fact]
    public void Ages_WhenBornAtTerm_ShowOneAge()
    {
        var panel = Panel(Samples.Term, "2026-09-01");

        panel.Find(".lead-age").Words().ShouldBe("Age7 m 27 d");
        panel.Words().ShouldNotContain("Corrected");
    }

    [Fact]
    public void Ages_WhenGestationIsUnknown_SayStronglyThatNothingIsCorrected()
    {
        var panel = Panel(BirthFacts.Restore(Samples.Day("2026-01-05"), null), "2026-09-01");

        panel.AllWords("dl > div").ShouldBe(["Age7 m 27 d"]);
        panel.Find(".age-caution.strong").Words().ShouldStartWith("Gestation is not known");
    }

    [Fact]
    public void Ages_WhenCorrectionHasEnded_SaySo()
    {
        var panel = Panel(Samples.Preterm, "2028-03-05");

        panel.Find(".lead-age").Words().ShouldBe("Age2 y 2 m");
        panel.Find(".age-caution").Words().ShouldStartWith("Correction is no longer shown");
    }

    private IRenderedComponent<AgesPanel> Panel(BirthFacts birth, string on) =>
        Render<AgesPanel>(panel => panel.Add(p => p.Ages, Samples.AgesOf(birth, on)));
}
