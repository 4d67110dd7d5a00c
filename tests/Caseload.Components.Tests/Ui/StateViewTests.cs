using Bunit;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Components.Tests.Ui;

public sealed class StateViewTests : ComponentTest
{
    private int _retries;

    [Fact]
    public void View_WhileLoading_SaysSoAndShowsNothingElse()
    {
        var view = View(ViewStatus.Loading);

        view.Find("[role=status]").Words().ShouldBe("Loading…");
        view.FindAll("#content, #empty, [role=alert]").ShouldBeEmpty();
    }

    [Fact]
    public void View_WhenEmpty_ShowsItsTitleAndWhatToDo()
    {
        var view = View(ViewStatus.Empty);

        view.Find("h2").Words().ShouldBe("No children yet");
        view.Find("#empty").Words().ShouldBe("Add one");
        view.FindAll("#content, [role=status], [role=alert]").ShouldBeEmpty();
    }

    [Fact]
    public void View_WhenLoaded_ShowsItsContentOnly()
    {
        var view = View(ViewStatus.Loaded);

        view.Words().ShouldBe("Here it is");
    }

    [Fact]
    public void View_WhenFailed_TellsTheNumberAndNothingOfTheContent()
    {
        var view = View(ViewStatus.Failed);

        view.Find("[role=alert] .number").Words().ShouldBe("AB12CD34EF");
        view.FindAll("#content, #empty, [role=status]").ShouldBeEmpty();
    }

    [Fact]
    public void Retry_WhenAsked_RaisesTheCallback()
    {
        View(ViewStatus.Failed).Control("Try again").Click();

        _retries.ShouldBe(1);
    }

    private IRenderedComponent<StateView> View(ViewStatus status) =>
        Render<StateView>(view =>
            view.Add(v => v.Status, status)
                .Add(v => v.EmptyTitle, "No children yet")
                .Add(v => v.EmptyContent, Markup("<p id=\"empty\">Add one</p>"))
                .Add(v => v.ChildContent, Markup("<p id=\"content\">Here it is</p>"))
                .Add(v => v.Reference, "AB12CD34EF")
                .Add(v => v.OnRetry, () => _retries++)
        );

    private static RenderFragment Markup(string html) => builder => builder.AddMarkupContent(0, html);
}
