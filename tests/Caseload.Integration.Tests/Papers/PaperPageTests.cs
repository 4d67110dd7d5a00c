using AngleSharp.Dom;
using Bunit;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Family;
using Caseload.Web.Features.Summary;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using MudBlazor.Services;

namespace Caseload.Integration.Tests.Papers;

/// <summary>The pages about papers, on real use cases.</summary>
public sealed class PaperPageTests(StoreFixture store) : IClassFixture<StoreFixture>, IAsyncDisposable
{
    private readonly BunitContext _browser = new();

    // The first page of a run takes long on a busy machine.
    static PaperPageTests() => BunitContext.DefaultWaitTimeout = TimeSpan.FromSeconds(20);

    private static CancellationToken Ct => Xunit.TestContext.Current.CancellationToken;

    public ValueTask DisposeAsync() => _browser.DisposeAsync();

    [Fact]
    public async Task Summary_OfADayThatCannotBe_SaysSoAtTheDayAndGoesOnWithAnother()
    {
        await AddChildAsync();
        var page = Open<SummaryPage>(store.LeadA);
        page.WaitForElement(".summary-list tbody tr");

        await page.Find("#summary-as-of").InputAsync(new() { Value = "2026-11-26" });
        page.WaitForAssertion(() => page.Find("#summary-as-of-problem").TextContent.ShouldContain("a day to come"));
        page.FindAll(".summary-list").ShouldBeEmpty();
        await page.Find("#summary-as-of").InputAsync(new() { Value = "2026-11-24" });

        page.WaitForAssertion(() => page.Find("h1").TextContent.ShouldBe("Caseload summary as of 24 Nov 2026"));
        page.FindAll("#summary-as-of-problem").ShouldBeEmpty();
    }

    [Fact]
    public async Task Summary_ForAnObserver_OffersNoNames()
    {
        await AddChildAsync();
        var observer = await store.AddPersonAsync(store.ProgrammeA, [Role.Observer], "Odo Server");
        var page = Open<SummaryPage>(observer);
        page.WaitForElement(".summary-list tbody tr");

        page.Markup.ShouldNotContain("Names and birth dates");
        page.FindAll(".summary-list tbody th a").ShouldAllBe(link => link.TextContent.StartsWith("K-", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Export_UnderWay_ShowsHowFarItIsAndCanBeCancelled()
    {
        await AddChildAsync();
        var saving = _browser.JSInterop.SetupVoid("caseload.saveFile", _ => true);
        var page = Open<SummaryPage>(store.LeadA);
        page.WaitForElement(".export-panel");

        var making = Button(page, "Plain table (CSV)").ClickAsync(new());
        page.WaitForElement(".export-panel progress");
        await Button(page, "Cancel").ClickAsync(new());
        // The file may be with the browser by now; a real one's call ends with the token, a planned one's only so.
        saving.SetCanceled();
        await making;

        page.WaitForAssertion(() => page.FindAll(".export-panel progress").ShouldBeEmpty());
        page.FindAll(".export-panel .problem").Select(problem => problem.TextContent).ShouldBeEmpty();
        page.Find(".export-panel [role=status]").TextContent.ShouldBe("Cancelled. Nothing was handed over.");
    }

    [Fact]
    public async Task Export_Done_NamesTheFileAndHandsItOver()
    {
        await AddChildAsync();
        _browser.JSInterop.SetupVoid("caseload.saveFile", _ => true).SetVoidResult();
        var page = Open<SummaryPage>(store.LeadA);
        page.WaitForElement(".export-panel");

        await Button(page, "Pages (PDF)").ClickAsync(new());

        page.WaitForAssertion(() =>
            page.Find(".export-panel [role=status]").TextContent.ShouldBe("caseload-summary-2026-11-25.pdf was made.")
        );
        _browser.JSInterop.Invocations["caseload.saveFile"].ShouldHaveSingleItem().Arguments[0].ShouldBe("caseload-summary-2026-11-25.pdf");
    }

    [Fact]
    public async Task FamilyPage_InAnotherLanguage_KeepsWhomToCallAndWhatWasKeptComesBack()
    {
        var childId = await AddChildAsync();
        var page = Open<FamilyPageView>(store.LeadA, child => child.Add(p => p.ChildId, childId));
        page.WaitForElement("#part-1");
        page.Find("#part-1").GetAttribute("value").ShouldNotBeNull().ShouldContain("Throws the arms wide");

        await page.Find("#family-contact").ChangeAsync(new() { Value = "Lena, 555 0100" });
        await page.Find("#part-1").ChangeAsync(new() { Value = "In my own words." });
        await Button(page, "Keep").ClickAsync(new());
        page.WaitForAssertion(() => page.Find(".saved").TextContent.ShouldBe("Kept."));
        await Button(page, "Español").ClickAsync(new());
        page.WaitForAssertion(() => page.Find("label[for=part-1]").TextContent.ShouldBe("Lo que vimos"));
        page.Find("#family-contact").GetAttribute("value").ShouldBe("Lena, 555 0100");

        await Button(page, "Take as text").ClickAsync(new());

        page.WaitForAssertion(() => page.Find("#part-1").GetAttribute("value").ShouldBe("In my own words."));
        page.Find("button[lang=en]").GetAttribute("aria-pressed").ShouldBe("true");
        await using var context = store.ContextA();
        (await context.FamilyLetters.CountAsync(row => row.ChildId == childId, Ct)).ShouldBe(1);
    }

    private static IElement Button(IRenderedComponent<IComponent> page, string words) =>
        page.FindAll("button").First(button => button.TextContent.Trim() == words);

    private async Task<Guid> AddChildAsync()
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, StoreFixture.TodayOn.AddMonths(-3), 280);
        StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn.AddDays(-1), Response.Typical);
        await context.SaveChangesAsync(Ct);
        await store.AskOwnerAsync("update children set created_at = created_at - interval '3 days'");
        return child.Id;
    }

    private IRenderedComponent<T> Open<T>(Actor actor, Action<ComponentParameterCollectionBuilder<T>>? more = null)
        where T : IComponent
    {
        _browser.JSInterop.Mode = JSRuntimeMode.Loose;
        _browser
            .Services.AddMudServices()
            .AddSingleton(store.Db)
            .AddSingleton(store.Library)
            .AddSingleton<TimeProvider>(store.Time)
            .AddSingleton(new FailureLog(NullLogger<FailureLog>.Instance, store.Time))
            .AddSingleton<AuthenticationStateProvider>(new SignedIn(actor))
            .AddSingleton<ActorSource>();
        WebHost.AddHandlers(_browser.Services);
        return _browser.Render<T>(page =>
        {
            page.AddCascadingValue(actor);
            more?.Invoke(page);
        });
    }
}
