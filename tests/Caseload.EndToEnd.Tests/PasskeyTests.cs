using Microsoft.Playwright;
using Npgsql;

namespace Caseload.EndToEnd.Tests;

/// <summary>Signing in by a passkey, with the authenticator that the browser plays for tests.</summary>
[Trait("Requirement", "SEC-08")]
public sealed class PasskeyTests(DemoSite site, Chromium chromium) : IClassFixture<DemoSite>
{
    private const string Clinician = "marigold";
    private const string Observer = "cordelia";

    // A passkey belongs to a host's name; an IP address is none.
    private string NamedAddress => site.Address.Replace("127.0.0.1", "localhost", StringComparison.Ordinal);

    [Fact]
    public async Task APasskey_OnceAdded_LetsInWithoutANameAndAPassword()
    {
        var (page, _, _) = await AddAsync(Clinician, "Work tablet");
        await Assertions.Expect(page.Locator(".passkeys input[name='Line.Name']")).ToHaveValueAsync("Work tablet");
        await SignOutAsync(page);

        await UsePasskeyAsync(page);

        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Your account");
        (await LastMethodAsync(Clinician)).ShouldBe("passkey");
        // The counter of the authenticator was kept, so that it lets in a second time.
        await SignOutAsync(page);
        await UsePasskeyAsync(page);
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Your account");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task APasskey_RenamedAndRemoved_LetsNobodyIn()
    {
        var (page, _, _) = await AddAsync(Observer, "Phone");
        await page.Locator(".passkeys input[name='Line.Name']").FillAsync("Old phone");
        await page.RunAndWaitForResponseAsync(
            () => page.GetByRole(AriaRole.Button, new() { Name = "Rename" }).ClickAsync(),
            response => response.Request.Method == "POST"
        );
        await page.WaitForLoadStateAsync(LoadState.NetworkIdle);
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator(".passkeys input[name='Line.Name']")).ToHaveValueAsync("Old phone");
        await page.GetByRole(AriaRole.Button, new() { Name = "Remove" }).ClickAsync();
        await Assertions.Expect(page.Locator(".passkeys")).ToHaveCountAsync(0);
        await SignOutAsync(page);

        await UsePasskeyAsync(page);

        await Assertions.Expect(page.GetByRole(AriaRole.Alert).First).ToContainTextAsync("This passkey is not known here");
        (await LastMethodAsync(Observer)).ShouldBe("password");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task APasskey_WhenTheDeviceDoesNotKnowItsHolder_LetsNobodyIn()
    {
        var (page, cdp, authenticator) = await AddAsync("isadora", "Shared tablet");
        await SignOutAsync(page);
        await cdp.SendAsync("WebAuthn.setUserVerified", new() { ["authenticatorId"] = authenticator, ["isUserVerified"] = false });

        await UsePasskeyAsync(page);

        await Assertions.Expect(page.GetByRole(AriaRole.Alert).First).ToContainTextAsync("No passkey was used");
        (await LastMethodAsync("isadora")).ShouldBe("password");
        await page.Context.CloseAsync();
    }

    [Fact]
    [Trait("Requirement", "SEC-10")]
    public async Task APasskey_WithAWrongPassword_IsNotAdded()
    {
        var page = await SignInAsync("ambrose");
        await EnableAsync(page);
        await page.Locator("#current-password").FillAsync("not the password at all");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a passkey" }).ClickAsync();

        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("not your present password");
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator(".passkeys")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task APasskey_WhereTheHostHasNoName_IsNotOffered()
    {
        var page = await chromium.OpenAsync();
        await page.GotoAsync(NamedAddress + "/account/sign-in");
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Use a passkey" })).ToBeVisibleAsync();

        await page.GotoAsync(site.Address + "/account/sign-in");

        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Sign in" })).ToBeVisibleAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Use a passkey" })).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("/account/passkeys/ask")]
    [InlineData("/account/passkeys/new")]
    [Trait("Requirement", "SEC-01")]
    [Trait("Requirement", "SEC-21")]
    public async Task Asking_WithoutThePagesToken_IsRefused(string path)
    {
        using var client = new HttpClient();
        using var nothing = new FormUrlEncodedContent([]);

        var answer = await client.PostAsync(new Uri(NamedAddress + path), nothing, TestContext.Current.CancellationToken);

        ((int)answer.StatusCode).ShouldBeInRange(400, 401);
        answer.Headers.Contains("Set-Cookie").ShouldBeFalse();
    }

    private async Task<(IPage Page, ICDPSession Cdp, string Authenticator)> AddAsync(string who, string name)
    {
        var page = await SignInAsync(who);
        var (cdp, authenticator) = await EnableAsync(page);
        await page.Locator("#passkey-name").FillAsync(name);
        await page.Locator("#current-password").FillAsync(site.PasswordOf(who));
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a passkey" }).ClickAsync();
        await page.Locator(".passkeys").WaitForAsync();
        return (page, cdp, authenticator);
    }

    private async Task<IPage> SignInAsync(string who)
    {
        var page = await chromium.OpenAsync();
        await page.GotoAsync(NamedAddress + "/account/sign-in?return=%2Faccount%2Fpasskeys");
        await page.Locator("#name").FillAsync(who);
        await page.Locator("#password").FillAsync(site.PasswordOf(who));
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in", Exact = true }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Add a passkey" }).WaitForAsync();
        return page;
    }

    private static async Task<(ICDPSession Cdp, string Authenticator)> EnableAsync(IPage page)
    {
        var cdp = await page.Context.NewCDPSessionAsync(page);
        await cdp.SendAsync("WebAuthn.enable");
        var added = await cdp.SendAsync(
            "WebAuthn.addVirtualAuthenticator",
            new()
            {
                ["options"] = new Dictionary<string, object>
                {
                    ["protocol"] = "ctap2",
                    ["transport"] = "internal",
                    ["hasResidentKey"] = true,
                    ["hasUserVerification"] = true,
                    ["isUserVerified"] = true,
                },
            }
        );
        return (cdp, added!.Value.GetProperty("authenticatorId").GetString()!);
    }

    private static async Task SignOutAsync(IPage page)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToHaveTextAsync("Signed out");
    }

    private async Task UsePasskeyAsync(IPage page)
    {
        await page.GotoAsync(NamedAddress + "/account/sign-in?return=%2Faccount");
        await page.GetByRole(AriaRole.Button, new() { Name = "Use a passkey" }).ClickAsync();
    }

    private async Task<string> LastMethodAsync(string who)
    {
        await using var connection = new NpgsqlConnection(site.OwnerConnectionString);
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand(
            "select method from sign_ins join people on people.id = person_id where sign_in_name = $1 order by started_at desc, sign_ins.id desc limit 1",
            connection
        )
        {
            Parameters = { new() { Value = who } },
        };
        return (string)(await command.ExecuteScalarAsync(TestContext.Current.CancellationToken))!;
    }
}
