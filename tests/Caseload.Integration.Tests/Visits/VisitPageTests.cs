using Bunit;
using Caseload.Data;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using MudBlazor;
using MudBlazor.Services;

namespace Caseload.Integration.Tests.Visits;

public sealed class VisitPageTests : IClassFixture<StoreFixture>, IAsyncLifetime
{
    private readonly BunitContext _browser = new();
    private readonly StoreFixture _store;
    private readonly VisitSteps _steps;

    public VisitPageTests(StoreFixture store)
    {
        _store = store;
        _steps = new VisitSteps(store);
        _browser.JSInterop.Mode = JSRuntimeMode.Loose;
        _browser.Services.AddMudServices();
        _browser.Services.AddSingleton(store.Db);
        _browser.Services.AddSingleton(store.Library);
        _browser.Services.AddSingleton(store.Statuses);
        _browser.Services.AddSingleton<TimeProvider>(_steps.Time);
        _browser.Services.AddSingleton(new FailureLog(NullLogger<FailureLog>.Instance, _steps.Time));
        _browser.Services.AddSingleton<ActorSource>();
        _browser.Services.AddSingleton<ChangeNotifier>();
        _browser.Services.AddSingleton<AuthenticationStateProvider>(new SignedIn(store.LeadA));
        _browser.RenderTree.Add<CascadingValue<Actor>>(cascade => cascade.Add(value => value.Value, store.LeadA));
        WebHost.AddHandlers(_browser.Services);
        _browser.Render<MudPopoverProvider>();
    }

    private static CancellationToken Ct => Xunit.TestContext.Current.CancellationToken;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _browser.DisposeAsync();

    [Fact]
    public async Task Page_StateResponseDoneFinish_ShowsWhatChangedAndKeepsTheFinding()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync("2026-11-10"));
        var page = Open(visitId);

        await page.Find("input[name=state-now][value=quiet-alert]").ChangeAsync(new() { Value = "quiet-alert" });
        await page.Find(".check-card .grades input[value=typical]").ChangeAsync(new() { Value = "typical" });
        page.Find(".progress").TextContent.ShouldContain("1 of ");
        await page.FindAll("button").Single(button => button.TextContent == "Done, next").ClickAsync(new());
        page.WaitForAssertion(() => page.Find(".progress").TextContent.ShouldContain("Draft saved 12:00"));
        await page.Find(".finish button").ClickAsync(new());

        page.WaitForElement("#tell");
        page.Find("#changes").ParentElement!.TextContent.ShouldContain("Present as expected");
        await using var context = _store.ContextA();
        var finding = await context.Findings.SingleAsync(row => row.VisitId == visitId, Ct);
        (finding.Response, finding.State).ShouldBe((Response.Typical, BehaviouralState.QuietAlert));
    }

    [Fact]
    public async Task Page_ChangedAndLeftAtOnce_KeepsTheDraft()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync("2026-11-10"));
        var page = Open(visitId);

        await page.Find("#visit-note").InputAsync(new() { Value = "left in a hurry" });
        await _browser.DisposeComponentsAsync();

        (await _steps.GetAsync(visitId)).Open!.Form.Note.ShouldBe("left in a hurry");
    }

    [Fact]
    public async Task Page_Undo_ClearsTheEntryAndKeepsTheOthers()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync("2026-11-10"));
        var page = Open(visitId);
        await page.FindAll(".check-card")[0].QuerySelector("input[value=typical]")!.ChangeAsync(new() { Value = "typical" });
        await page.FindAll(".check-card")[1].QuerySelector("input[value=weak]")!.ChangeAsync(new() { Value = "weak" });

        await page.FindAll("button").First(button => button.TextContent == "Undo").ClickAsync(new());

        page.Find(".progress").TextContent.ShouldContain("1 of ");
        page.FindAll(".check-card")[1].QuerySelectorAll(".chosen").ShouldNotBeEmpty();
    }

    [Fact]
    public async Task Page_FinishedElsewhereWithLess_KeepsWhatStandsHereOnTheScreen()
    {
        var visitId = await _steps.StartAsync(await _steps.AddChildAsync("2026-11-10"));
        var page = Open(visitId);
        await page.Find(".check-card .grades input[value=typical]").ChangeAsync(new() { Value = "typical" });
        await _steps.FinishAsync(visitId);

        await page.Find(".finish button").ClickAsync(new());

        page.WaitForAssertion(() => page.Find(".finish").TextContent.ShouldContain("finished on another tablet"));
        page.Find(".check-card .chosen").TextContent.Trim().ShouldBe("Typical");
        await page.Find(".finish button").ClickAsync(new());
        page.WaitForElement("#tell");
    }

    [Fact]
    public void Page_OfAVisitThatIsNotThere_SaysSo()
    {
        var page = _browser.Render<VisitPage>(parameters => parameters.Add(shown => shown.Id, VisitSteps.NewId()));

        page.WaitForAssertion(() => page.Markup.ShouldContain("There is no such visit"));
    }

    private IRenderedComponent<VisitPage> Open(Guid visitId)
    {
        var page = _browser.Render<VisitPage>(parameters => parameters.Add(shown => shown.Id, visitId));
        page.WaitForElement(".check-card");
        return page;
    }
}
