using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Caseload.EndToEnd.Tests;

/// <summary>WCAG 2.2 A and AA as far as axe-core can see it, on every page, at desktop and tablet sizes, light and dark.</summary>
public sealed class AccessibilityTests(DemoSite site) : IClassFixture<DemoSite>
{
    private static readonly AxeRunOptions _wcag = new()
    {
        RunOnly = new RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"] },
        // Every element that passes need not be named.
        ResultTypes = new HashSet<ResultType> { ResultType.Violations },
    };

    public static TheoryData<string, string> Pages =>
        new()
        {
            { "due", "" },
            { "alerts", "alerts" },
            { "children", "children" },
            { "new child", "children/new" },
            { "child", "first-child" },
            { "child, edit", "first-child-edit" },
            { "start a visit", "visits/new" },
            { "visit", "open-visit" },
            { "finished visit", "finished-visit" },
            { "digest", "digests" },
            { "reference", "reference" },
            { "reference item", "reference/moro" },
            { "concerns", "reference/concerns" },
            { "sources", "reference/sources" },
            { "versions", "reference/versions" },
            { "edit figures", "reference/edit" },
            { "programme", "programme" },
            { "people", "people" },
            { "new person", "people/new" },
            { "who has access", "people/access" },
            { "jobs", "jobs" },
            { "team", "team" },
            { "away", "team/away" },
            { "suggest", "team/suggest" },
            { "numbers", "team/numbers" },
            { "visit plan", "visits/plan" },
            { "matrix", "matrix" },
            { "summary", "summary" },
            { "report", "report" },
            { "family page", "family" },
            { "access record", "record" },
            { "open by a reason", "children/by-reason" },
            { "sign in", "account/sign-in" },
            { "invitation", "welcome" },
            { "own account", "account" },
            { "mail", "mail" },
            { "own mail", "mail/mine" },
            { "stop mail", "mail/stop/nothing" },
            { "not found", "nowhere" },
            { "error", "error" },
        };

    [Theory]
    [MemberData(nameof(Pages))]
    public async Task Page_OnEveryScreen_HasNoViolation(string name, string path)
    {
        name.ShouldNotBeEmpty();
        var page = await site.OpenAsync(who: ReaderOf(path));
        await GoAsync(page, path);
        foreach (var (width, height) in Chromium.Screens)
        {
            await page.SetViewportSizeAsync(width, height);
            await CheckAsync(page, $"{name} at {width} x {height}");
            if (width == 1024)
            {
                (await page.EvaluateAsync<int>("document.documentElement.scrollWidth")).ShouldBeLessThanOrEqualTo(
                    width,
                    "the page scrolls sideways"
                );
            }
        }
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("")]
    [InlineData("alerts")]
    [InlineData("first-child")]
    [InlineData("open-visit")]
    [InlineData("reference/atnr")]
    public async Task Page_InTheDark_HasNoViolation(string path)
    {
        var page = await site.OpenAsync(isDark: true);
        await GoAsync(page, path);
        await CheckAsync(page, path + " in the dark");
        await page.Context.CloseAsync();
    }

    /// <summary>Somebody to whom the page is open.</summary>
    private static string ReaderOf(string path) =>
        path.StartsWith("people", StringComparison.Ordinal) || path is "jobs" or "mail" ? DemoSite.Administrator
        : path.EndsWith("by-reason", StringComparison.Ordinal) ? DemoSite.Clinician
        : DemoSite.Lead;

    private static async Task CheckAsync(IPage page, string place)
    {
        // Let colours settle: a fade that is under way has no contrast of its own.
        await page.EvaluateAsync("Promise.all(document.getAnimations().map(animation => animation.finished.catch(() => {})))");
        var result = await page.RunAxe(_wcag);
        result.Passes.Length.ShouldBeGreaterThan(5, place);
        result
            .Violations.SelectMany(violation =>
                violation.Nodes.Select(node => $"{violation.Id}: {node.Html} {string.Join(' ', node.Any.Select(check => check.Message))}")
            )
            .ShouldBeEmpty(place);
    }

    private async Task GoAsync(IPage page, string path)
    {
        switch (path)
        {
            case "first-child" or "first-child-edit":
                await page.GotoAsync($"{site.Address}/children");
                await page.Locator("a.row-link").First.ClickAsync();
                await page.Locator(".item-head").First.ClickAsync();
                if (path == "first-child-edit")
                {
                    await page.GetByRole(AriaRole.Link, new() { Name = "Edit", Exact = true }).ClickAsync();
                    await page.Locator("#born").WaitForAsync();
                }
                else
                {
                    await page.Locator(".reasons").First.WaitForAsync();
                }
                break;
            case "open-visit":
                await page.GotoAsync(site.Address);
                await page.Locator(".due-card a.button").First.ClickAsync();
                await page.WaitForURLAsync("**/visits/**");
                if (page.Url.Contains("/visits/new", StringComparison.Ordinal))
                {
                    await page.GetByRole(AriaRole.Button, new() { Name = "Start" }).ClickAsync();
                }
                await page.Locator(".check-card").First.WaitForAsync();
                break;
            case "finished-visit":
                await page.GotoAsync($"{site.Address}/children");
                await page.Locator("a.row-link").First.ClickAsync();
                await page.Locator("section[aria-label=Visits] a").Nth(1).ClickAsync();
                await page.WaitForURLAsync("**/visits/**");
                await page.Locator("h1").WaitForAsync();
                break;
            case "summary":
                await page.GotoAsync($"{site.Address}/summary");
                await page.Locator("#summary-alert").SelectOptionAsync("SameDay");
                await Assertions.Expect(page.Locator(".summary-list tbody tr")).ToHaveCountAsync(2);
                break;
            case "report" or "family":
                await page.GotoAsync($"{site.Address}/children");
                await page.Locator("a.row-link").First.ClickAsync();
                await page.Locator($".actions a[href$='/{path}']").ClickAsync();
                await page.WaitForURLAsync($"**/{path}");
                await page.Locator(".stack").First.WaitForAsync();
                break;
            case "matrix":
                // A few rows have every kind of cell; axe takes minutes for two thousand of them.
                await page.GotoAsync($"{site.Address}/matrix");
                await page.Locator("#matrix-state").SelectOptionAsync("Obligatory");
                await Assertions.Expect(page.Locator(".matrix tbody tr")).ToHaveCountAsync(1);
                break;
            case "digests":
                // The week's digest is made shortly after the start.
                for (var attempt = 0; attempt < 60 && await page.Locator(".digest-weeks").CountAsync() == 0; attempt++)
                {
                    await page.WaitForTimeoutAsync(attempt == 0 ? 0 : 1000);
                    await page.GotoAsync($"{site.Address}/digests");
                    await page.Locator(".digest-weeks, .view-state h2").First.WaitForAsync();
                }
                await page.Locator(".digest-weeks").WaitForAsync();
                break;
            default:
                await page.GotoAsync($"{site.Address}/{path}");
                break;
        }
        await page.Locator("h1").First.WaitForAsync();
        await Assertions.Expect(page.Locator(".loading-dots")).ToHaveCountAsync(0, new() { Timeout = 60_000 });
    }
}
