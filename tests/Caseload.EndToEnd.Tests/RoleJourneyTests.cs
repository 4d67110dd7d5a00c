using Microsoft.Playwright;

namespace Caseload.EndToEnd.Tests;

/// <summary>What each role finds, does and does not find, on a tablet's screen.</summary>
public sealed class RoleJourneyTests(DemoSite site) : IClassFixture<DemoSite>
{
    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task AClinician_SeesTheOwnCaseloadAndNothingElse()
    {
        var lead = await site.OpenAsync();
        await lead.GotoAsync(site.Address + "/children");
        await lead.Locator("a.row-link").First.WaitForAsync();
        await lead.Locator("#child-clinician").SelectOptionAsync(new SelectOptionValue { Label = "Barnaby Thistle" });
        await Assertions.Expect(lead.GetByText("Marigold Penhallow").Locator("visible=true")).ToHaveCountAsync(0);
        var foreign = (await lead.Locator("a.row-link").First.GetAttributeAsync("href"))!;
        await lead.Context.CloseAsync();

        var page = await site.OpenAsync(768, 1024, who: DemoSite.Clinician);
        await page.GotoAsync(site.Address);
        await page.Locator(".due-card").First.WaitForAsync();
        var names = await page.Locator(".due-card header .small").AllInnerTextsAsync();
        names.ShouldNotBeEmpty();
        names.ShouldAllBe(line => line.Contains("Marigold Penhallow", StringComparison.Ordinal));
        (await page.GetByRole(AriaRole.Link, new() { Name = "People" }).CountAsync()).ShouldBe(0);
        (await page.GetByRole(AriaRole.Link, new() { Name = "Team" }).CountAsync()).ShouldBe(0);

        await page.GotoAsync($"{site.Address}/{foreign}");
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("No record opens here");
        var refused = (await page.GotoAsync(site.Address + "/people"))!;
        refused.Status.ShouldBe(403);
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("This is not open to you");

        await page.GotoAsync(site.Address);
        await page.Locator(".due-card a.button").First.ClickAsync();
        await page.WaitForURLAsync("**/visits/**");
        await page.Locator("h1").First.WaitForAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task ATeamLead_ArrangesACover_AndTheColleagueSeesTheChildrenAtOnce()
    {
        var colleague = await site.OpenAsync(768, 1024, who: "barnaby");
        await colleague.GotoAsync(site.Address + "/children");
        await colleague.Locator("a.row-link").First.WaitForAsync();
        var before = await colleague.Locator("a.row-link").CountAsync();

        var lead = await site.OpenAsync(768, 1024);
        await lead.GotoAsync(site.Address + "/team/away");
        await lead.GetByLabel("Who is away").SelectOptionAsync(new SelectOptionValue { Label = "Odette Fennimore" });
        await lead.GetByLabel("Who sees the children meanwhile").SelectOptionAsync(new SelectOptionValue { Label = "Barnaby Thistle" });
        await lead.GetByLabel("From").FillAsync("2026-11-25");
        await lead.GetByLabel("Through").FillAsync("2026-11-27");
        await lead.GetByRole(AriaRole.Button, new() { Name = "Arrange", Exact = true }).ClickAsync();
        await Assertions.Expect(lead.Locator("main")).ToContainTextAsync("27 Nov");

        await colleague.ReloadAsync();
        await Assertions.Expect(colleague.Locator("a.row-link").Nth(before)).ToBeVisibleAsync();
        await lead.Context.CloseAsync();
        await colleague.Context.CloseAsync();
    }

    [Fact]
    public async Task ATeamLead_SpreadsThoseWhoWait_CoversTwoWeeksOfLeave_AndOpensTheMatrix()
    {
        var lead = await site.OpenAsync(768, 1024);
        await lead.GotoAsync(site.Address + "/team");
        await Assertions.Expect(lead.GetByRole(AriaRole.Heading, new() { Name = "Waiting for a clinician" })).ToContainTextAsync("6");
        await lead.GetByRole(AriaRole.Link, new() { Name = "Suggest assignments" }).ClickAsync();
        await lead.GetByRole(AriaRole.Button, new() { Name = "Propose" }).ClickAsync();
        await lead.GetByRole(AriaRole.Button, new() { Name = "Accept 6 moves" }).ClickAsync(new() { Timeout = 30_000 });
        await Assertions.Expect(lead.Locator("main")).ToContainTextAsync("6 children given to their clinicians.");
        await lead.GotoAsync(site.Address + "/team");
        await Assertions.Expect(lead.Locator("main")).ToContainTextAsync("Every child has a clinician.");

        await lead.GotoAsync(site.Address + "/team/away");
        await lead.GetByLabel("Who is away").SelectOptionAsync(new SelectOptionValue { Label = "Casper Wrenfield" });
        await lead.GetByLabel("Colleagues share the children").CheckAsync();
        await lead.GetByLabel("From").FillAsync("2026-12-07");
        await lead.GetByLabel("Through").FillAsync("2026-12-20");
        await lead.GetByRole(AriaRole.Button, new() { Name = "Arrange", Exact = true }).ClickAsync();
        await lead.GetByRole(AriaRole.Link, new() { Name = "Share out" }).ClickAsync();
        await lead.GetByRole(AriaRole.Button, new() { Name = "Propose" }).ClickAsync();
        await lead.Locator("form.accept button[type=submit]").ClickAsync(new() { Timeout = 30_000 });
        await Assertions.Expect(lead.Locator("main")).ToContainTextAsync("covered.");

        await lead.GotoAsync(site.Address + "/matrix");
        await Assertions.Expect(lead.Locator(".matrix tbody tr")).ToHaveCountAsync(56);
        await lead.Locator(".matrix-wrap").FocusAsync();
        await lead.Keyboard.PressAsync("ArrowDown");
        await lead.Keyboard.PressAsync("Enter");
        await lead.WaitForURLAsync("**/children/*?item=*");
        await lead.Context.CloseAsync();
    }

    [Fact]
    public async Task AClinician_PlansVisitsAndGivesTheCalendarAnAddress_ThatStopsWhenItIsTakenBack()
    {
        var page = await site.OpenAsync(768, 1024, who: DemoSite.Clinician);
        await page.GotoAsync(site.Address + "/visits/plan");
        await page.GetByRole(AriaRole.Button, new() { Name = "Propose four weeks" }).ClickAsync();
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("visits planned, which meet");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make an address" }).ClickAsync();
        var address = await page.Locator(".reference-number").InnerTextAsync();
        using var calendar = new HttpClient();

        using var first = await calendar.GetAsync(address, TestContext.Current.CancellationToken);
        first.StatusCode.ShouldBe(System.Net.HttpStatusCode.OK);
        first.Content.Headers.ContentType!.MediaType.ShouldBe("text/calendar");
        (await first.Content.ReadAsStringAsync(TestContext.Current.CancellationToken)).ShouldContain("BEGIN:VEVENT");
        using var again = new HttpRequestMessage(HttpMethod.Get, address);
        again.Headers.IfNoneMatch.Add(first.Headers.ETag.ShouldNotBeNull());
        using var unchanged = await calendar.SendAsync(again, TestContext.Current.CancellationToken);
        unchanged.StatusCode.ShouldBe(System.Net.HttpStatusCode.NotModified);

        await page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Make an address" })).ToBeVisibleAsync();
        using var gone = await calendar.GetAsync(address, TestContext.Current.CancellationToken);
        gone.StatusCode.ShouldBe(System.Net.HttpStatusCode.NotFound);
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-03")]
    public async Task AnObserver_ReadsEverythingAndIsOfferedNoChange()
    {
        var page = await site.OpenAsync(768, 1024, who: DemoSite.Observer);
        await page.GotoAsync(site.Address);
        await page.Locator(".due-card").First.WaitForAsync();
        (await page.GetByRole(AriaRole.Link, new() { Name = "Start visit" }).CountAsync()).ShouldBe(0);
        (await page.GetByRole(AriaRole.Link, new() { Name = "Add a child" }).CountAsync()).ShouldBe(0);
        await page.Locator(".due-name").First.ClickAsync();
        await page.Locator(".item-row").First.WaitForAsync();
        (await page.GetByRole(AriaRole.Link, new() { Name = "Edit", Exact = true }).CountAsync()).ShouldBe(0);
        (await page.GetByText("Close this case").CountAsync()).ShouldBe(0);
        (await page.GotoAsync(site.Address + "/visits/new"))!.Status.ShouldBe(403);
        (await page.GotoAsync(site.Address + "/children/new"))!.Status.ShouldBe(403);
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-16")]
    public async Task AnAdministrator_InvitesAPerson_AndDisablingEndsTheirOpenPageAtOnce()
    {
        var office = await site.OpenAsync(1024, 768, who: DemoSite.Administrator);
        (await office.GotoAsync(site.Address + "/children"))!.Status.ShouldBe(403);
        await office.GotoAsync(site.Address + "/people/new");
        await office.GetByLabel("Name", new() { Exact = true }).FillAsync("Tobias Quillpen");
        await office.GetByLabel("Sign-in name").FillAsync("tobias");
        await office.GetByLabel("Observer").CheckAsync();
        await office.GetByRole(AriaRole.Button, new() { Name = "Add, then invite" }).ClickAsync();
        await office.WaitForURLAsync(address => !address.EndsWith("/people/new", StringComparison.Ordinal));
        await office.GetByRole(AriaRole.Button, new() { Name = "Make an invitation" }).ClickAsync();
        var link = await office.Locator("#invitation-link").InputValueAsync();

        var guest = await site.OpenSignedOutAsync(768, 1024);
        await guest.GotoAsync(link);
        await Assertions.Expect(guest.Locator("h1")).ToHaveTextAsync("Welcome, Tobias Quillpen");
        await guest.Locator("#password").FillAsync("short");
        await guest.Locator("#again").FillAsync("short");
        await guest.GetByRole(AriaRole.Button, new() { Name = "Keep this password" }).ClickAsync();
        await Assertions.Expect(guest.GetByRole(AriaRole.Alert)).ToContainTextAsync("at least 15 characters", new() { IgnoreCase = true });
        await guest.Locator("#password").FillAsync("harbour violin tangerine");
        await guest.Locator("#again").FillAsync("harbour violin tangerine");
        await guest.GetByRole(AriaRole.Button, new() { Name = "Keep this password" }).ClickAsync();
        await guest.Locator(".due-card").First.WaitForAsync();

        await office.GetByRole(AriaRole.Button, new() { Name = "Disable this person…" }).ClickAsync();
        await office.GetByRole(AriaRole.Button, new() { Name = "Disable this person", Exact = true }).ClickAsync();
        await guest.WaitForURLAsync("**/account/signed-out**", new() { Timeout = 5000 });
        await guest.GotoAsync(site.Address);
        await Assertions.Expect(guest.Locator("h1")).ToHaveTextAsync("Sign in");
        await office.Context.CloseAsync();
        await guest.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-15")]
    public async Task SigningOut_EndsEveryTabOfTheSignIn_AndTheCookieIsNoGoodAnyMore()
    {
        var page = await site.OpenSignedOutAsync(768, 1024);
        await site.SignInAsync(page, "casper");
        var cookies = await page.Context.CookiesAsync();
        var other = await page.Context.NewPageAsync();
        await other.GotoAsync(site.Address + "/children");
        await other.Locator("a.row-link").First.WaitForAsync();

        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await page.WaitForURLAsync("**/account/signed-out");
        await other.WaitForURLAsync("**/account/signed-out**");

        await page.Context.AddCookiesAsync(
            cookies.Select(cookie => new Cookie
            {
                Name = cookie.Name,
                Value = cookie.Value,
                Domain = cookie.Domain,
                Path = cookie.Path,
            })
        );
        await page.GotoAsync(site.Address + "/children");
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Sign in");
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-14")]
    public async Task DoingNothing_WarnsFirstAndThenSignsOut_AndTheDraftIsKept()
    {
        var page = await site.OpenSignedOutAsync(768, 1024);
        await site.SignInAsync(page, "odette");
        await page.Locator(".due-card a.button").First.ClickAsync();
        await page.WaitForURLAsync("**/visits/**");
        if (page.Url.Contains("/visits/new", StringComparison.Ordinal))
        {
            await page.GetByRole(AriaRole.Button, new() { Name = "Start" }).ClickAsync();
        }
        await page.Locator("label").Filter(new() { HasText = "Quiet, alert" }).First.ClickAsync();
        await page.Locator(".check-card .grades label").Filter(new() { HasText = "Weak" }).First.ClickAsync();
        await Assertions.Expect(page.GetByText("Draft saved")).ToBeVisibleAsync();
        var visit = page.Url;

        // The demo's idle time is an hour: the clock that the page reads is moved, its timers and its connection are not.
        await page.EvaluateAsync("() => { const real = Date.now; window.shift = 3550000; Date.now = () => real() + window.shift; }");
        await Assertions.Expect(page.GetByRole(AriaRole.Dialog, new() { Name = "Are you still there?" })).ToBeVisibleAsync();
        await page.EvaluateAsync("() => { window.shift = 3601000; }");
        await page.WaitForURLAsync(address => address.EndsWith("/account/signed-out?why=idle", StringComparison.Ordinal));
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("kept as a draft");

        await site.SignInAsync(page, "odette");
        await page.GotoAsync(visit);
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("1 of");
        await page.Context.CloseAsync();
    }
}
