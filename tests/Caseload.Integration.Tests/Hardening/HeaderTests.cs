using System.Net;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Hardening;

/// <summary>What every answer carries, whatever kind it is of.</summary>
[Trait("Requirement", "SEC-20")]
public sealed class HeaderTests(SecureSite secure, LoopbackSite loopback) : IClassFixture<SecureSite>, IClassFixture<LoopbackSite>
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public static TheoryData<string, string, int> Answers =>
        new()
        {
            { "GET", "/account/sign-in", 200 },
            { "GET", "/children", 302 },
            { "GET", "/app.css", 200 },
            { "GET", "/_framework/blazor.web.js", 200 },
            { "GET", "/fonts/atkinson-hyperlegible-latin-400-normal.woff2", 200 },
            { "GET", "/health/ready", 200 },
            { "GET", "/nothing/here", 302 },
            { "GET", "/not-found", 200 },
            { "GET", "/test/bad", 400 },
            { "GET", "/test/throws/7", 500 },
            { "GET", "/test/moved", 302 },
            { "GET", "/error", 200 },
            { "DELETE", "/children", 401 },
            { "TRACE", "/children", 405 },
            { "POST", "/_blazor/negotiate", 403 },
        };

    [Theory]
    [MemberData(nameof(Answers))]
    public async Task Answer_OfAnyKind_CarriesTheHeaders(string method, string path, int status)
    {
        using var client = secure.Client();
        using var request = HardenedSite.Request(
            new HttpMethod(method),
            path,
            [.. SecureSite.Forwarded, ("Origin", "https://evil.example")]
        );

        using var answer = await client.SendAsync(request, Cancellation);

        ((int)answer.StatusCode).ShouldBe(status);
        ShouldBeHardened(answer);
        Only(answer, "Strict-Transport-Security").ShouldBe("max-age=63072000; includeSubDomains");
    }

    [Fact]
    public async Task Answer_OfTheHostFilter_CarriesTheHeaders()
    {
        using var client = secure.Client();
        using var request = HardenedSite.Request(HttpMethod.Get, "/", ("Host", "evil.example"), ("X-Forwarded-Proto", "https"));

        using var answer = await client.SendAsync(request, Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.BadRequest);
        ShouldBeHardened(answer);
        Only(answer, "Strict-Transport-Security").ShouldStartWith("max-age=");
    }

    [Fact]
    public async Task Answer_OnPlainLoopback_CarriesTheHeadersButPromisesNoTls()
    {
        using var client = loopback.Client();

        using var answer = await client.GetAsync("/account/sign-in", Cancellation);

        answer.StatusCode.ShouldBe(HttpStatusCode.OK);
        ShouldBeHardened(answer);
        answer.Headers.Contains("Strict-Transport-Security").ShouldBeFalse();
    }

    [Fact]
    public async Task ContentSecurityPolicy_WhenThereIsAnIdentityProvider_LetsFormsLeadThere()
    {
        (await PolicyAsync(secure, SecureSite.Forwarded))["form-action"].ShouldBe("'self' https://login.example.org");
        (await PolicyAsync(loopback))["form-action"].ShouldBe("'self'");
    }

    [Theory]
    [Trait("Requirement", "SEC-33")]
    [InlineData("/children", "no-store")]
    [InlineData("/account/sign-in", "no-store")]
    [InlineData("/nothing/here", "no-store")]
    [InlineData("/test/throws/7", "no-store")]
    [InlineData("/health/ready", "no-store")]
    [InlineData("/app.css", "no-cache")]
    public async Task CacheControl_UnlessItIsAFileOfTheApplication_KeepsAnswersOutOfCaches(string path, string expected)
    {
        using var client = loopback.Client();

        using var answer = await client.GetAsync(path, Cancellation);

        Only(answer, "Cache-Control").ShouldBe(expected);
    }

    [Fact]
    [Trait("Requirement", "SEC-19")]
    public async Task Cookie_BehindTls_IsBoundToTheHost()
    {
        var cookie = await AntiforgeryCookieAsync(secure, "https");

        cookie.ShouldStartWith("__Host-caseload-antiforgery=");
        Attributes(cookie).ShouldBe(["path=/", "secure", "samesite=strict", "httponly"], ignoreOrder: true);
        var names = secure.Services.GetRequiredService<CookieNames>();
        names.SignIn.ShouldBe("__Host-caseload-sign-in");
        names.For("two-factor").ShouldBe("__Host-caseload-two-factor");
        names.SecurePolicy.ShouldBe(CookieSecurePolicy.Always);

        using var client = secure.Client();
        using var request = HardenedSite.Request(HttpMethod.Get, "/test/cookie", SecureSite.Forwarded);
        using var answer = await client.SendAsync(request, Cancellation);
        Attributes(answer.Headers.GetValues("Set-Cookie").Single()).ShouldBe(["path=/", "secure", "httponly"], ignoreOrder: true);
    }

    [Fact]
    [Trait("Requirement", "SEC-19")]
    public async Task Cookie_OnPlainLoopback_HasNoPrefixThatBrowsersWouldRefuse()
    {
        var cookie = await AntiforgeryCookieAsync(loopback, "http");

        cookie.ShouldStartWith("caseload-antiforgery=");
        Attributes(cookie).ShouldBe(["path=/", "samesite=strict", "httponly"], ignoreOrder: true);
        loopback.Services.GetRequiredService<CookieNames>().SignIn.ShouldBe("caseload-sign-in");
    }

    private static async Task<string> AntiforgeryCookieAsync(HardenedSite site, string scheme)
    {
        await using var scope = site.Services.CreateAsyncScope();
        var context = new DefaultHttpContext { RequestServices = scope.ServiceProvider };
        context.Request.Scheme = scheme;
        scope.ServiceProvider.GetRequiredService<IAntiforgery>().GetAndStoreTokens(context);
        return context.Response.Headers.SetCookie.Single()!;
    }

    private static string[] Attributes(string cookie) =>
        [.. cookie.Split(';', StringSplitOptions.TrimEntries).Skip(1).Select(part => part.ToLowerInvariant())];

    private static async Task<Dictionary<string, string>> PolicyAsync(HardenedSite site, params (string Name, string Value)[] headers)
    {
        using var client = site.Client();
        using var answer = await client.SendAsync(HardenedSite.Request(HttpMethod.Get, "/", headers), Cancellation);
        return Policy(answer);
    }

    private static void ShouldBeHardened(HttpResponseMessage answer)
    {
        Only(answer, "X-Content-Type-Options").ShouldBe("nosniff");
        Only(answer, "Referrer-Policy").ShouldBe("no-referrer");
        Only(answer, "X-Frame-Options").ShouldBe("DENY");
        Only(answer, "Cross-Origin-Opener-Policy").ShouldBe("same-origin");
        Only(answer, "Permissions-Policy").Split(", ").ShouldBe(["camera=()", "microphone=()", "geolocation=()", "payment=()", "usb=()"]);
        answer.Headers.Contains("Server").ShouldBeFalse();
        answer.Headers.Contains("X-Powered-By").ShouldBeFalse();

        var policy = Policy(answer);
        policy.Remove("form-action", out var forms).ShouldBeTrue();
        forms.ShouldStartWith("'self'");
        policy.ShouldBe(
            new Dictionary<string, string>
            {
                ["default-src"] = "'self'",
                ["script-src"] = "'self'",
                ["style-src"] = "'self' 'unsafe-inline'",
                ["img-src"] = "'self' data:",
                ["connect-src"] = "'self'",
                ["font-src"] = "'self'",
                ["object-src"] = "'none'",
                ["base-uri"] = "'self'",
                ["frame-ancestors"] = "'none'",
            },
            ignoreOrder: true
        );
    }

    private static Dictionary<string, string> Policy(HttpResponseMessage answer) =>
        Only(answer, "Content-Security-Policy")
            .Split(';', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)
            .Select(directive => directive.Split(' ', 2))
            .ToDictionary(parts => parts[0], parts => parts[1]);

    private static string Only(HttpResponseMessage answer, string header) => answer.Headers.GetValues(header).Single();
}
