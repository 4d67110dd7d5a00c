using System.Security.Claims;
using Caseload.Data.People;
using Caseload.Domain;
using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Diagnostics;

namespace Caseload.Web.Platform.Access;

/// <summary>Who is halfway in.</summary>
/// <param name="Person">The person.</param>
/// <param name="First">What proved so far who it is.</param>
public sealed record HalfwayIn(PersonKey Person, SignInMethod First);

/// <summary>The two cookies: signed in, and halfway in between the first factor and the second.</summary>
public static class SignInCookies
{
    /// <summary>Signed in.</summary>
    public const string Scheme = "caseload";

    /// <summary>First factor given, second still to come.</summary>
    public const string HalfwayScheme = "caseload-halfway";

    private const string ProgrammeType = "caseload-programme";
    private const string PersonType = "caseload-person";
    private const string FirstType = "caseload-first";
    private static readonly TimeSpan _halfway = TimeSpan.FromMinutes(10);

    /// <summary>Adds both, and a check of every request's sign-in against the store.</summary>
    public static void AddSignIn(this IServiceCollection services)
    {
        services.AddAuthentication(Scheme).AddCookie(Scheme).AddCookie(HalfwayScheme);
        services
            .AddOptions<CookieAuthenticationOptions>(Scheme)
            .Configure<CookieNames>(
                (cookie, names) =>
                {
                    cookie.Cookie.Name = names.SignIn;
                    cookie.Cookie.SecurePolicy = names.SecurePolicy;
                    cookie.Cookie.SameSite = SameSiteMode.Lax;
                    cookie.LoginPath = SignInAddress.Path;
                    cookie.ReturnUrlParameter = SignInAddress.ReturnParameter;
                    // The store knows when a sign-in is over; the cookie only must not end before.
                    cookie.ExpireTimeSpan = TimeSpan.FromHours(24);
                    cookie.SlidingExpiration = false;
                    cookie.Events.OnValidatePrincipal = ValidateAsync;
                    cookie.Events.OnRedirectToLogin = context => AnswerAsync(context, StatusCodes.Status401Unauthorized);
                    cookie.Events.OnRedirectToAccessDenied = context => AnswerAsync(context, StatusCodes.Status403Forbidden);
                }
            );
        services
            .AddOptions<CookieAuthenticationOptions>(HalfwayScheme)
            .Configure<CookieNames>(
                (cookie, names) =>
                {
                    cookie.Cookie.Name = names.For("halfway");
                    cookie.Cookie.SecurePolicy = names.SecurePolicy;
                    // Somebody who comes back from the identity provider is on a way that began at another site.
                    cookie.Cookie.SameSite = SameSiteMode.Lax;
                    cookie.ExpireTimeSpan = _halfway;
                    cookie.SlidingExpiration = false;
                }
            );
    }

    /// <summary>Who is halfway in; null when nobody is, or too long ago.</summary>
    public static async Task<HalfwayIn?> ReadHalfwayAsync(HttpContext http)
    {
        var result = await http.AuthenticateAsync(HalfwayScheme);
        return
            result.Principal is { } half
            && Guid.TryParse(half.FindFirstValue(ProgrammeType), out var programmeId)
            && Guid.TryParse(half.FindFirstValue(PersonType), out var personId)
            && EnumWords.FromWord<SignInMethod>(half.FindFirstValue(FirstType)) is { } first
            ? new HalfwayIn(new PersonKey(programmeId, personId), first)
            : null;
    }

    /// <summary>Remembers who is halfway in.</summary>
    public static Task KeepHalfwayAsync(HttpContext http, HalfwayIn half) =>
        http.SignInAsync(
            HalfwayScheme,
            new ClaimsPrincipal(
                new ClaimsIdentity(
                    [
                        new Claim(ProgrammeType, half.Person.ProgrammeId.ToString()),
                        new Claim(PersonType, half.Person.PersonId.ToString()),
                        new Claim(FirstType, half.First.ToWord()),
                    ],
                    HalfwayScheme
                )
            )
        );

    /// <summary>Gives the browser its sign-in, and forgets that it was halfway.</summary>
    public static async Task KeepAsync(HttpContext http, SignInClaims claims)
    {
        await http.SignOutAsync(HalfwayScheme);
        await http.SignInAsync(Scheme, claims.ToPrincipal(Scheme));
    }

    /// <summary>Ends the browser's sign-in, in the store first.</summary>
    public static async Task EndAsync(HttpContext http)
    {
        if (SignInClaims.Read(http.User) is { } claims)
        {
            await http.RequestServices.GetRequiredService<SignInKeeper>().EndAsync(claims, SignInEnd.SignedOut, http.RequestAborted);
        }
        await http.SignOutAsync(HalfwayScheme);
        await http.SignOutAsync(Scheme);
    }

    /// <summary>Who stands at the door.</summary>
    public static Visitor VisitorOf(HttpContext http) =>
        new(http.Connection.RemoteIpAddress?.ToString() ?? "unknown", DeviceWords.Of(http.Request.Headers.UserAgent));

    private static async Task ValidateAsync(CookieValidatePrincipalContext context)
    {
        var http = context.HttpContext;
        try
        {
            var keeper = http.RequestServices.GetRequiredService<SignInKeeper>();
            if (SignInClaims.Read(context.Principal!) is { } claims && await keeper.FindAsync(claims, http.RequestAborted) is not null)
            {
                return;
            }
            await http.SignOutAsync(Scheme);
        }
        catch (Exception failure) when (DatabaseTrouble.IsBehind(failure) && IsForAnybody(http))
        {
            // The database is away, and what was asked for needs nobody in particular.
        }
        context.RejectPrincipal();
    }

    /// <summary>Whether what is under way is open to everybody: an endpoint that says so, or the error page in another's place.</summary>
    private static bool IsForAnybody(HttpContext http) =>
        http.Features.Get<IExceptionHandlerFeature>() is not null
        || http.GetEndpoint()?.Metadata.GetMetadata<IAllowAnonymous>() is not null;

    /// <summary>A person who follows a link is led to the sign-in page; a script and a circuit get a plain answer.</summary>
    private static Task AnswerAsync(RedirectContext<CookieAuthenticationOptions> context, int status)
    {
        if (
            status == StatusCodes.Status401Unauthorized
            && HttpMethods.IsGet(context.Request.Method)
            && !context.Request.Path.StartsWithSegments("/_blazor", StringComparison.OrdinalIgnoreCase)
        )
        {
            context.Response.Redirect(context.RedirectUri);
        }
        else
        {
            context.Response.StatusCode = status;
        }
        return Task.CompletedTask;
    }
}
