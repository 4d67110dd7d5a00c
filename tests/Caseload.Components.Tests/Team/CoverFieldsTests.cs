using Bunit;
using Caseload.Web.Features.Team;
using Caseload.Web.Platform;

namespace Caseload.Components.Tests.Team;

public sealed class CoverFieldsTests : ComponentTest
{
    [Fact]
    public void Choices_WhenSomebodyIsAway_LeaveThemOutOfTheColleagues()
    {
        var form = new CoverForm();
        var fields = Fields(form);

        fields.Find("#absent").Change(Samples.Id(1).ToString());
        fields.Render();
        fields.AllWords("#covering option").ShouldBe(["Choose…", "Colin League"]);
        fields.Find("#covering").Change(Samples.Id(2).ToString());
        fields.Find("#from").Input("2026-09-03");
        fields.Find("#through").Input("2026-09-05");

        (form.AbsentClinicianId, form.CoveringClinicianId).ShouldBe((Samples.Id(1), Samples.Id(2)));
        (form.FromOn, form.ThroughOn).ShouldBe((Samples.Day("2026-09-03"), Samples.Day("2026-09-05")));
        form.Check(Samples.TodayOn).ShouldBeEmpty();
    }

    [Theory]
    [InlineData("2026-09-03", "2026-09-02", "through")]
    [InlineData("2026-08-01", "2026-08-31", "through")]
    [InlineData("2026-09-01", "2027-09-02", "through")]
    [InlineData(null, "2026-09-02", "from")]
    [InlineData("2026-09-01", null, "through")]
    public void Days_ThatCannotBe_AreRefusedAtTheirField(string? from, string? through, string field)
    {
        var form = new CoverForm
        {
            AbsentClinicianId = Samples.Id(1),
            CoveringClinicianId = Samples.Id(2),
            FromOn = from is null ? null : Samples.Day(from),
            ThroughOn = through is null ? null : Samples.Day(through),
        };

        form.Check(Samples.TodayOn).Single().Field.ShouldBe(field);
    }

    [Fact]
    public void Refusals_Always_StandAtTheirFields()
    {
        var form = new CoverForm();
        var fields = Fields(form, form.Check(Samples.TodayOn));

        fields.AllWords("[role=alert]").Count.ShouldBe(4);
        fields.Find("#absent-problem").Words().ShouldBe("Choose who is away.");
    }

    [Fact]
    public void Cover_OfOneself_IsRefused() =>
        new CoverForm
        {
            AbsentClinicianId = Samples.Id(1),
            CoveringClinicianId = Samples.Id(1),
            FromOn = Samples.TodayOn,
            ThroughOn = Samples.TodayOn,
        }
            .Check(Samples.TodayOn)
            .Single()
            .Field.ShouldBe("covering");

    private IRenderedComponent<CoverFields> Fields(CoverForm form, IReadOnlyList<Domain.Refusal>? refusals = null) =>
        Render<CoverFields>(fields =>
            fields
                .Add(f => f.Form, form)
                .Add(
                    f => f.Clinicians,
                    [new ClinicianChoice(Samples.Id(1), "Ada Away"), new ClinicianChoice(Samples.Id(2), "Colin League")]
                )
                .Add(f => f.TodayOn, Samples.TodayOn)
                .Add(f => f.Refusals, refusals ?? [])
        );
}
