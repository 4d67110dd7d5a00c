using Microsoft.AspNetCore.CookiePolicy;

namespace Caseload.Web.Platform.Hardening;

/// <summary>What cookies are called: with the prefix that binds them to this host and to TLS, when there is TLS.</summary>
public sealed class CookieNames(PublicAddress address)
{
    /// <summary>The cookie of somebody who signed in.</summary>
    public string SignIn => For("sign-in");

    /// <summary>The cookie half of the anti-forgery token.</summary>
    public string Antiforgery => For("antiforgery");

    /// <summary>When the Secure attribute is set.</summary>
    public CookieSecurePolicy SecurePolicy => address.IsSecure ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;

    /// <summary>The name of a cookie for one purpose, given in lower case.</summary>
    /// <remarks>Browsers take a cookie with the prefix only when it is Secure, has the path / and names no domain.</remarks>
    public string For(string purpose) => (address.IsSecure ? "__Host-" : "") + "caseload-" + purpose;
}

/// <summary>The attributes every cookie has.</summary>
public static class Cookies
{
    /// <summary>Names the anti-forgery cookie, and sees to it that no cookie is readable for scripts or sent without TLS.</summary>
    public static void AddCaseloadCookies(this IServiceCollection services, PublicAddress address)
    {
        var names = new CookieNames(address);
        services.AddSingleton(names);
        services.AddAntiforgery(antiforgery =>
        {
            antiforgery.Cookie.Name = names.Antiforgery;
            antiforgery.Cookie.Path = "/";
            antiforgery.Cookie.HttpOnly = true;
            antiforgery.Cookie.SameSite = SameSiteMode.Strict;
            antiforgery.Cookie.SecurePolicy = names.SecurePolicy;
        });
        services.Configure<CookiePolicyOptions>(policy =>
        {
            policy.HttpOnly = HttpOnlyPolicy.Always;
            policy.Secure = names.SecurePolicy;
        });
    }
}
