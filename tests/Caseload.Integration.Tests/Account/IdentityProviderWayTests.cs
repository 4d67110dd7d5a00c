using System.Net;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;
using Microsoft.Net.Http.Headers;

namespace Caseload.Integration.Tests.Account;

/// <summary>The way to an identity provider and back: what is made up, tampered with, repeated or not there leads nowhere.</summary>
public sealed class IdentityProviderWayTests(MigratedPostgres postgres, ProviderSite site, LoopbackSite without)
    : IClassFixture<ProviderSite>,
        IClassFixture<LoopbackSite>
{
    private const string SignInCookie = "caseload-sign-in";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("state=&code=x")]
    [InlineData("code=x")]
    [InlineData("")]
    [InlineData("state=made-up&code=x")]
    [InlineData("error=access_denied")]
    [Trait("Requirement", "SEC-21")]
    public async Task Callback_ThatIsMadeUp_EndsOnAFriendlyPage(string query)
    {
        using var browser = site.Open();

        await ShouldHaveFailedAsync(browser, "/account/external/callback?" + query);
    }

    [Fact]
    [Trait("Requirement", "SEC-21")]
    public async Task State_ThatWasTamperedWith_GetsNoToken()
    {
        var personId = await site.PrepareAsync(account => account);
        using var browser = site.Open();
        var tokens = site.Provider.TokenCount;
        var back = await browser.ComeBackAsync();

        await ShouldHaveFailedAsync(browser, back.Replace("state=", "state=A", StringComparison.Ordinal));

        site.Provider.TokenCount.ShouldBe(tokens);
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-21")]
    public async Task Answer_InABrowserThatDidNotAsk_GetsNoToken()
    {
        var personId = await site.PrepareAsync(account => account);
        using var attacker = site.Open();
        using var victim = site.Open();
        var tokens = site.Provider.TokenCount;

        await ShouldHaveFailedAsync(victim, await attacker.ComeBackAsync());

        site.Provider.TokenCount.ShouldBe(tokens);
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-21")]
    public async Task Answer_UsedAgain_IsRefused()
    {
        var personId = await site.PrepareAsync(account => account);
        using var browser = site.Open();
        var back = await browser.ComeBackAsync();
        (await browser.ArriveAsync(await browser.FollowAsync(back))).LeadsTo.ShouldBe("/");

        (await browser.FollowAsync(back)).ShouldBe("/account/external?why=failed");

        (await site.SignInsAsync(personId)).Count.ShouldBe(1);
    }

    [Theory]
    [InlineData(true, false)]
    [InlineData(false, true)]
    public async Task IdToken_WithAWrongNonceOrKey_IsRefused(bool hasWrongNonce, bool hasWrongKey)
    {
        var personId = await site.PrepareAsync(account => account with { HasWrongNonce = hasWrongNonce, HasWrongKey = hasWrongKey });
        using var browser = site.Open();
        var tokens = site.Provider.TokenCount;

        await ShouldHaveFailedAsync(browser, await browser.ComeBackAsync());

        site.Provider.TokenCount.ShouldBe(tokens + 1);
        (await site.SignInsAsync(personId)).ShouldBeEmpty();
        (await site.LoginsAsync(personId)).ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-48")]
    public async Task Refusal_OfTheProvider_EndsOnAFriendlyPage_AndItsWordsStandNowhere()
    {
        const string Words = "Wilhelmina Obviously-Invented is not assigned";
        await site.PrepareAsync(account => account with { Error = "access_denied", ErrorDescription = Words });
        using var browser = site.Open();

        (await ShouldHaveFailedAsync(browser, await browser.ComeBackAsync())).ShouldNotContain("Wilhelmina");
        await site.PrepareAsync(account => account with { Error = "server_error", ErrorDescription = Words });
        await ShouldHaveFailedAsync(browser, await browser.ComeBackAsync());

        var log = await site.Site.ReadLogAsync("OpenIdConnectProtocolException", Ct);
        log.ShouldContain("Signing in at the identity provider failed");
        log.ShouldNotContain("Wilhelmina");
    }

    [Theory]
    [InlineData("cross-site")]
    [InlineData("same-site")]
    [Trait("Requirement", "SEC-21")]
    public async Task Start_FromAnotherSite_LeadsToTheSignInPageOnly(string from)
    {
        using var browser = site.Open();

        using var answer = await browser.GetAsync("/account/external/start", ("Sec-Fetch-Site", from));

        answer.Headers.Location!.OriginalString.ShouldBe("/account/sign-in");
        browser.Cookies.Count.ShouldBe(0);
    }

    [Fact]
    [Trait("Requirement", "SEC-19")]
    public async Task Way_BehindTls_GoesByThePublicAddress_WithCookiesOfThisHostOnly()
    {
        await using var secure = new HardenedSite(
            postgres,
            ("CASELOAD_PUBLIC_ADDRESS", "https://caseload.example.org"),
            ("CASELOAD_PROXY", "127.0.0.1"),
            ("CASELOAD_OIDC_AUTHORITY", site.Provider.Issuer),
            ("CASELOAD_OIDC_CLIENT_ID", InventedProvider.ClientId)
        );
        await secure.InitializeAsync();
        using var client = secure.Client();

        using var answer = await client.SendAsync(
            HardenedSite.Request(HttpMethod.Get, "/account/external/start", SecureSite.Forwarded),
            Ct
        );

        var query = QueryHelpers.ParseQuery(answer.Headers.Location!.Query);
        query["redirect_uri"].ToString().ShouldBe("https://caseload.example.org/account/external/callback");
        var cookies = SetCookieHeaderValue.ParseList([.. answer.Headers.GetValues("Set-Cookie")]);
        cookies.Count.ShouldBe(2);
        cookies.ShouldContain(cookie => cookie.Name.StartsWith("__Host-caseload-external-way.", StringComparison.Ordinal));
        cookies.ShouldContain(cookie => cookie.Name.StartsWith("__Host-caseload-external-nonce.", StringComparison.Ordinal));
        cookies.ShouldAllBe(cookie => cookie.Secure && cookie.HttpOnly && cookie.Path == "/" && cookie.Domain.Length == 0);
        cookies.ShouldAllBe(cookie => cookie.SameSite == Microsoft.Net.Http.Headers.SameSiteMode.Lax);
        cookies.ShouldAllBe(cookie => cookie.Expires < ProviderSite.NowAt.AddMinutes(11));
        var external = secure
            .Services.GetRequiredService<IOptionsMonitor<CookieAuthenticationOptions>>()
            .Get(IdentityProvider.ExternalScheme)
            .Cookie.Build(new DefaultHttpContext());
        (external.Secure, external.HttpOnly, external.Path, external.Domain).ShouldBe((true, true, "/", null));
        external.SameSite.ShouldBe(Microsoft.AspNetCore.Http.SameSiteMode.Lax);
    }

    [Fact]
    public async Task Provider_ThatDoesNotAnswer_EndsOnAFriendlyPage()
    {
        await using var alone = new HardenedSite(
            postgres,
            ("CASELOAD_OIDC_AUTHORITY", "http://127.0.0.1:9"),
            ("CASELOAD_OIDC_CLIENT_ID", InventedProvider.ClientId)
        );
        await alone.InitializeAsync();
        using var browser = new Browser(alone.Address);

        await ShouldHaveFailedAsync(browser, "/account/external/start");
    }

    [Theory]
    [InlineData("https://evil.example/", "/")]
    [InlineData("//evil.example", "/")]
    [InlineData("/visits/new", "/visits/new")]
    public async Task Return_Always_StaysHere(string asked, string expected)
    {
        await site.PrepareAsync(account => account);
        using var browser = site.Open();

        (await browser.SignInAsync("/account/external/start?return=" + Uri.EscapeDataString(asked))).LeadsTo.ShouldBe(expected);
    }

    [Fact]
    public async Task SignInPage_WhenThereIsAProvider_OffersIt()
    {
        using var browser = site.Open();

        var text = (await browser.ArriveAsync("/account/sign-in?return=%2Fteam")).Text;

        text.ShouldContain("Sign in with the Invented Clinic");
        text.ShouldContain("href=\"/account/external/start?return=%2Fteam\"");
        (await browser.FollowAsync("/account/external")).ShouldEndWith("/account/sign-in");
    }

    [Fact]
    public async Task AnswerPage_WithoutAProvider_IsNone()
    {
        using var browser = new Browser(without.Address);

        var arrival = await browser.ArriveAsync("/account/external?why=failed");

        arrival.Status.ShouldBe(HttpStatusCode.NotFound);
        arrival.Text.ShouldContain("There is nothing at this address");
    }

    [Fact]
    public async Task Addresses_WithoutAProvider_AreNone_AsForAnyAddressThatIsNot()
    {
        using var browser = new Browser(without.Address);
        string[] addresses =
        [
            "/nothing-here",
            "/account/external/start",
            "/account/external/callback",
            "/signin-oidc",
            "/signout-oidc",
            "/signout-callback-oidc",
        ];
        foreach (var address in addresses)
        {
            // Whoever is not signed in does not learn what there is.
            (await browser.ArriveAsync(address)).LeadsTo.ShouldBe("/account/sign-in?return=" + Uri.EscapeDataString(address));
        }

        await SignInWithoutAProviderAsync(browser);

        foreach (var address in addresses.Append("/account/external"))
        {
            (await browser.ArriveAsync(address)).Status.ShouldBe(HttpStatusCode.NotFound, address);
        }
    }

    [Fact]
    public async Task AddressesForSigningOutFromOutside_WithAProvider_AreNone()
    {
        await site.PrepareAsync(account => account);
        using var browser = site.Open();
        await browser.SignInAsync();

        (await browser.ArriveAsync("/signout-oidc")).Status.ShouldBe(HttpStatusCode.NotFound);
        (await browser.ArriveAsync("/signout-callback-oidc")).Status.ShouldBe(HttpStatusCode.NotFound);
        browser.Has(SignInCookie).ShouldBeTrue();
    }

    [Fact]
    public async Task SignInPage_WithoutAProvider_OffersNone()
    {
        using var browser = new Browser(without.Address);

        var text = (await browser.ArriveAsync("/account/sign-in")).Text;

        text.ShouldContain("Password");
        text.ShouldNotContain("/account/external");
        text.ShouldNotContain("your organisation");
    }

    private async Task SignInWithoutAProviderAsync(Browser browser)
    {
        const string Password = "gravel lantern orchid seven";
        var db = without.Services.GetRequiredService<CaseloadDb>();
        var (at, programmeId) = (ProviderSite.NowAt, StoreFixture.NewId());
        await db.CreateProgrammeAsync(programmeId, "Programme", "Europe/Dublin", at, Ct);
        var person = Person.New(programmeId, StoreFixture.NewId(), "Given Family", ProviderSite.NewName(), [Role.Observer], at);
        person.PasswordHash = without.Services.GetRequiredService<IPasswordHasher<Person>>().HashPassword(person, Password);
        await using (var context = db.ForJob("test", programmeId))
        {
            (await context.Programmes.SingleAsync(Ct)).AccessPolicy = AccessPolicy.Default with { ObserversNeedSecondFactor = false };
            context.Add(person);
            await context.SaveChangesAsync(Ct);
        }
        await browser.SubmitAsync("/account/sign-in", ("Form.Name", person.SignInName), ("Form.Password", Password));
        browser.Has(SignInCookie).ShouldBeTrue();
    }

    private static async Task<string> ShouldHaveFailedAsync(Browser browser, string callback)
    {
        var answer = await browser.FollowAsync(callback);
        answer.ShouldBe("/account/external?why=failed");
        var arrival = await browser.ArriveAsync(answer);
        arrival.Status.ShouldBe(HttpStatusCode.OK);
        arrival.Text.ShouldContain("That did not work");
        arrival.Text.ShouldNotContain("Exception");
        browser.Has(SignInCookie).ShouldBeFalse();
        return arrival.Text;
    }
}
