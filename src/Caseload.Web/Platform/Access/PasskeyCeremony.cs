using System.Security.Claims;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Identity;

namespace Caseload.Web.Platform.Access;

/// <summary>What a browser has to bring back from a passkey ceremony: kept in a cookie of its own, for a few minutes and for one answer.</summary>
public static class PasskeyCeremony
{
    /// <summary>The cookie's scheme.</summary>
    public const string Scheme = "caseload-passkey";

    private const string StateType = "caseload-passkey-state";
    private const string LocalHost = "localhost";
    private static readonly TimeSpan _time = TimeSpan.FromMinutes(5);

    /// <summary>Adds the ceremonies: the framework checks them, with our people.</summary>
    public static void AddPasskeys(this IServiceCollection services)
    {
        services.AddAuthentication().AddCookie(Scheme);
        services
            .AddOptions<CookieAuthenticationOptions>(Scheme)
            .Configure<CookieNames>(
                (cookie, names) =>
                {
                    cookie.Cookie.Name = names.For("passkey");
                    cookie.Cookie.SecurePolicy = names.SecurePolicy;
                    cookie.Cookie.SameSite = SameSiteMode.Strict;
                    cookie.ExpireTimeSpan = _time;
                    cookie.SlidingExpiration = false;
                }
            );
        services.AddIdentityCore<Data.People.Person>();
        services.AddScoped<IUserStore<Data.People.Person>, PersonStore>();
        services.AddScoped<IPasskeyHandler<Data.People.Person>, PasskeyHandler<Data.People.Person>>();
        services
            .AddOptions<IdentityPasskeyOptions>()
            .Configure<IConfiguration>(
                (options, configuration) =>
                {
                    // A passkey with its holder verified is two factors in one; without, it is none of ours.
                    options.UserVerificationRequirement = "required";
                    options.ResidentKeyRequirement = "required";
                    options.AuthenticatorTimeout = _time;
                    options.ServerDomain = Uri.TryCreate(configuration["CASELOAD_PUBLIC_ADDRESS"], UriKind.Absolute, out var address)
                        ? address.Host
                        : null;
                    options.ValidateOrigin = origin => ValueTask.FromResult(IsOurs(origin));
                }
            );
        services.AddScoped<OwnPasskeys>();
        services.AddScoped<PasskeyDoor>();
    }

    /// <summary>Remembers what the answer is checked against.</summary>
    internal static Task KeepAsync(HttpContext http, string state) =>
        http.SignInAsync(Scheme, new ClaimsPrincipal(new ClaimsIdentity([new Claim(StateType, state)], Scheme)));

    /// <summary>What the answer is checked against, and forgets it; null when there is none or it is too old.</summary>
    internal static async Task<string?> TakeAsync(HttpContext http)
    {
        var result = await http.AuthenticateAsync(Scheme);
        await http.SignOutAsync(Scheme);
        return result.Principal?.FindFirstValue(StateType);
    }

    // Not by the request's Origin header, as the framework would: under a strict referrer policy a form says "null" there.
    private static bool IsOurs(PasskeyOriginValidationContext context) =>
        !context.CrossOrigin
        && Uri.TryCreate(context.Origin, UriKind.Absolute, out var origin)
        && (origin.Scheme == Uri.UriSchemeHttps || origin.Host == LocalHost)
        && string.Equals(origin.Authority, context.HttpContext.Request.Host.Value, StringComparison.OrdinalIgnoreCase);
}
