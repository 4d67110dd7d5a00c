using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using OtpNet;

namespace Caseload.EndToEnd.Tests;

/// <summary>What a person does with the own account.</summary>
public sealed class AccountTests(DemoSite site, Chromium chromium) : IClassFixture<DemoSite>
{
    private static readonly AxeRunOptions _wcag = new()
    {
        RunOnly = new RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"] },
    };

    [Fact]
    [Trait("Requirement", "SEC-08")]
    [Trait("Requirement", "SEC-11")]
    public async Task AnAuthenticator_PairedFromTheAccount_IsAskedForAtTheNextSignIn()
    {
        var page = await SignInAsync("casper", "/account/authenticator");
        var key = await page.Locator(".pairing-key").InnerTextAsync();
        await FillPairingAsync(page, "000000");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("does not belong to the new key");
        (await page.Locator(".pairing-key").InnerTextAsync()).ShouldBe(key);

        var secret = Base32Encoding.ToBytes(key.Replace(" ", "", StringComparison.Ordinal));
        await FillPairingAsync(page, new Totp(secret).ComputeTotp(site.ClockAt));
        await Assertions.Expect(page.Locator(".recovery-codes li")).ToHaveCountAsync(10);
        var recovery = await page.Locator(".recovery-codes li").First.InnerTextAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();

        await TypePasswordAsync(page, "casper", "/account");
        await page.GetByRole(AriaRole.Link, new() { Name = "use a recovery code" }).ClickAsync();
        await page.Locator("#code").FillAsync(recovery.ToLowerInvariant());
        await page.GetByRole(AriaRole.Button, new() { Name = "Go on" }).ClickAsync();

        await Assertions.Expect(page.Locator(".account-ways")).ToContainTextAsync("9 of 10 left");
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-10")]
    [Trait("Requirement", "SEC-17")]
    public async Task APassword_ChangedOnOneDevice_EndsTheSignInOnTheOther()
    {
        var other = await SignInAsync("barnaby", "/account");
        var page = await SignInAsync("barnaby", "/account");
        await page.GetByRole(AriaRole.Link, new() { Name = "Change password" }).ClickAsync();
        await ChangePasswordAsync(page, "not the password at all");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("not your present password");

        await ChangePasswordAsync(page, site.PasswordOf("barnaby"));

        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("Your password is changed");
        await Assertions.Expect(page.Locator(".sign-ins li")).ToHaveCountAsync(1);
        await other.ReloadAsync();
        await Assertions.Expect(other.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Sign in");
        await other.Context.CloseAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-17")]
    public async Task ASignIn_EndedFromTheAccount_IsGone()
    {
        var other = await SignInAsync("odette", "/account");
        var page = await SignInAsync("odette", "/account");
        await Assertions.Expect(page.Locator(".sign-ins li")).ToHaveCountAsync(2);

        await page.Locator(".sign-ins button").ClickAsync();

        await Assertions.Expect(page.Locator(".sign-ins li")).ToHaveCountAsync(1);
        await other.ReloadAsync();
        await Assertions.Expect(other.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Sign in");
        await other.Context.CloseAsync();
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("/account")]
    [InlineData("/account/password")]
    [InlineData("/account/authenticator")]
    [InlineData("/account/passkeys")]
    public async Task Page_OnEveryScreen_HasNoViolation(string path)
    {
        foreach (var (width, height) in Chromium.Screens)
        {
            var page = await SignInAsync("cordelia", path, width, height);
            var result = await page.RunAxe(_wcag);
            result.Violations.Select(violation => $"{path} at {width}: {violation.Id} {violation.Nodes[0].Html}").ShouldBeEmpty();
            (await page.EvaluateAsync<int>("document.documentElement.scrollWidth")).ShouldBeLessThanOrEqualTo(width);
            await page.Context.CloseAsync();
        }
    }

    private async Task FillPairingAsync(IPage page, string code)
    {
        await page.Locator("#new-code").FillAsync(code);
        await page.Locator("#current-password").FillAsync(site.PasswordOf("casper"));
        await page.GetByRole(AriaRole.Button, new() { Name = "Pair it" }).ClickAsync();
    }

    private static async Task ChangePasswordAsync(IPage page, string current)
    {
        const string next = "tangerine ferry notebook elm";
        await page.Locator("#current-password").FillAsync(current);
        await page.Locator("#password").FillAsync(next);
        await page.Locator("#again").FillAsync(next);
        await page.GetByRole(AriaRole.Button, new() { Name = "Change password" }).ClickAsync();
    }

    private async Task<IPage> SignInAsync(string who, string path, int width = 1024, int height = 768)
    {
        var page = await chromium.OpenAsync(width, height);
        await TypePasswordAsync(page, who, path);
        await page.WaitForURLAsync(site.Address + path);
        return page;
    }

    private async Task TypePasswordAsync(IPage page, string who, string path)
    {
        await page.GotoAsync($"{site.Address}/account/sign-in?return={Uri.EscapeDataString(path)}");
        await page.Locator("#name").FillAsync(who);
        await page.Locator("#password").FillAsync(site.PasswordOf(who));
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in", Exact = true }).ClickAsync();
    }
}
