using Bunit;
using Caseload.Web.Ui;

namespace Caseload.Components.Tests.Ui;

public sealed class DateFieldTests : ComponentTest
{
    private readonly List<DateOnly?> _raised = [];

    [Fact]
    public void Field_Always_IsNamedByItsLabel()
    {
        var field = Field();

        field.Find("label").GetAttribute("for").ShouldBe("born");
        field.Find("label").Words().ShouldBe("Birth date");
        field.Find("input#born").GetAttribute("type").ShouldBe("date");
    }

    [Fact]
    public void Field_WhenItHasADate_ShowsItInTheFormTheBrowserReads() =>
        Field(value: "2026-03-04").Find("input").GetAttribute("value").ShouldBe("2026-03-04");

    [Fact]
    public void Field_WhenItHasLimits_TellsTheBrowser()
    {
        var input = Field(earliest: "2026-01-01", latest: "2026-09-01").Find("input");

        input.GetAttribute("min").ShouldBe("2026-01-01");
        input.GetAttribute("max").ShouldBe("2026-09-01");
    }

    [Fact]
    public void Date_WhenEntered_IsRaised()
    {
        Field().Find("input").Input("2026-02-28");

        _raised.ShouldBe([Samples.Day("2026-02-28")]);
    }

    [Theory]
    [InlineData("")]
    [InlineData("2026-02-30")]
    [InlineData("0002-1")]
    [InlineData("28/02/2026")]
    public void Date_WhenItIsNotComplete_IsRaisedAsNone(string text)
    {
        Field(value: "2026-03-04").Find("input").Input(text);

        _raised.ShouldBe([(DateOnly?)null]);
    }

    [Fact]
    public void Problem_WhenThereIsOne_IsTiedToTheInput()
    {
        var field = Field(problem: "Enter the birth date.");

        field.Find("input").GetAttribute("aria-invalid").ShouldBe("true");
        field.Find("#" + field.Find("input").GetAttribute("aria-describedby")).Words().ShouldBe("Enter the birth date.");
        field.Find("[role=alert]").Words().ShouldBe("Enter the birth date.");
    }

    [Fact]
    public void Field_WhenAllIsWell_PointsToNoProblem()
    {
        var input = Field().Find("input");

        input.HasAttribute("aria-invalid").ShouldBeFalse();
        input.HasAttribute("aria-describedby").ShouldBeFalse();
    }

    private IRenderedComponent<DateField> Field(
        string? value = null,
        string? earliest = null,
        string? latest = null,
        string? problem = null
    ) =>
        Render<DateField>(field =>
            field
                .Add(f => f.Id, "born")
                .Add(f => f.Label, "Birth date")
                .Add(f => f.Value, value is null ? null : Samples.Day(value))
                .Add(f => f.ValueChanged, on => _raised.Add(on))
                .Add(f => f.Earliest, earliest is null ? null : Samples.Day(earliest))
                .Add(f => f.Latest, latest is null ? null : Samples.Day(latest))
                .Add(f => f.Problem, problem)
        );
}

public sealed class TextFieldTests : ComponentTest
{
    private readonly List<string> _raised = [];

    [Fact]
    public void Field_Always_IsNamedByItsLabel()
    {
        var field = Field();

        field.Find("label").GetAttribute("for").ShouldBe("weeks");
        field.Find("input#weeks").GetAttribute("value").ShouldBe("31");
        field.Find("input").GetAttribute("inputmode").ShouldBe("numeric");
        field.Find(".hint").Words().ShouldBe("20 to 44");
    }

    [Fact]
    public void Text_WithEveryLetter_IsRaised()
    {
        var input = Field().Find("input");

        input.Input("3");
        input.Input("32");

        _raised.ShouldBe(["3", "32"]);
    }

    [Fact]
    public void Problem_WhenThereIsOne_IsTiedToTheInput()
    {
        var field = Field("Enter the completed weeks.");

        field.Find("input").GetAttribute("aria-invalid").ShouldBe("true");
        field.Find("#" + field.Find("input").GetAttribute("aria-describedby")).Words().ShouldBe("Enter the completed weeks.");
    }

    [Fact]
    public void Field_WhenAllIsWell_PointsToNoProblem() => Field().Find("input").HasAttribute("aria-describedby").ShouldBeFalse();

    private IRenderedComponent<TextField> Field(string? problem = null) =>
        Render<TextField>(field =>
            field
                .Add(f => f.Id, "weeks")
                .Add(f => f.Label, "Completed weeks")
                .Add(f => f.Value, "31")
                .Add(f => f.ValueChanged, text => _raised.Add(text))
                .Add(f => f.InputMode, "numeric")
                .Add(f => f.Hint, "20 to 44")
                .Add(f => f.Problem, problem)
        );
}
