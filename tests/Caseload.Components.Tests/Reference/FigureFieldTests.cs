using Bunit;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Reference;

namespace Caseload.Components.Tests.Reference;

public sealed class FigureFieldTests : BunitContext
{
    private readonly FigureEntry _entry = new(ScheduleFigure.Latest, "months", new FigureAges(6, 6));

    [Fact]
    public void Problem_IsSaidAtTheFieldItConcerns()
    {
        var field = Field("It comes before the usual deadline.");

        var input = field.Find("input");
        input.GetAttribute("aria-invalid").ShouldBe("true");
        field.Find("#" + input.GetAttribute("aria-describedby")).TextContent.ShouldBe("It comes before the usual deadline.");
    }

    [Fact]
    public void Typing_MarksTheFigureAsCommonPracticeUntilASourceIsNamed()
    {
        var field = Field();
        field.FindAll(".practice").ShouldBeEmpty();

        field.Find("input").Input("8");
        field.Render();
        field.Find(".practice").TextContent.ShouldBe("common practice, no source");
        field.Find(".was").TextContent.ShouldBe("was 6 months");

        field.Find("select").Change("KUMC");
        field.Render();
        field.FindAll(".practice").ShouldBeEmpty();
        _entry.Sources.ShouldBe(["KUMC"]);

        field.Find(".link-button").Click();
        field.Find("input").GetAttribute("value").ShouldBe("6");
        _entry.IsChanged.ShouldBeFalse();
    }

    private IRenderedComponent<FigureField> Field(string? problem = null) =>
        Render<FigureField>(parameters =>
            parameters
                .Add(field => field.ItemId, "moro")
                .Add(field => field.Entry, _entry)
                .Add(field => field.Sources, ReferenceSets.Default.Sources)
                .Add(field => field.Problem, problem)
        );
}
