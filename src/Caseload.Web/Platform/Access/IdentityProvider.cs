using Caseload.Web.Platform.Hardening;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Authentication.OpenIdConnect;
using Microsoft.Extensions.Options;
using Microsoft.IdentityModel.Protocols.OpenIdConnect;

namespace Caseload.Web.Platform.Access;

/// <summary>Signing in at the organisation's identity provider by OpenID Connect, when the settings name one.</summary>
public static class IdentityProvider
{
    /// <summary>The scheme that leads to the provider; its display name is the provider's label.</summary>
    public const string Scheme = "caseload-identity-provider";

    /// <summary>The cookie between the provider's answer and the door.</summary>
    public const string ExternalScheme = "caseload-external";

    /// <summary>Where the way to the provider begins.</summary>
    public const string StartPath = "/account/external/start";

    /// <summary>Where the provider sends people back to; the provider has to know this address.</summary>
    public const string CallbackPath = "/account/external/callback";

    /// <summary>The page that knows what becomes of the answer.</summary>
    public const string AnswerPath = "/account/external";

    /// <summary>The query parameter of <see cref="AnswerPath"/> that says that there was no usable answer.</summary>
    public const string FailedQuery = "?why=" + FailedWord;

    /// <summary>The value of that parameter.</summary>
    public const string FailedWord = "failed";

    private static readonly TimeSpan _wayThereAndBack = TimeSpan.FromMinutes(10);
    private static readonly TimeSpan _external = TimeSpan.FromMinutes(5);
    private static readonly TimeSpan _answerTime = TimeSpan.FromSeconds(10);

    /// <summary>Adds it when it is set up.</summary>
    public static void AddIdentityProvider(this IServiceCollection services, IConfiguration settings)
    {
        if (IdentityProviderSettings.Read(settings) is not { } provider)
        {
            return;
        }
        services
            .AddAuthentication()
            .AddCookie(ExternalScheme)
            .AddOpenIdConnect(Scheme, provider.Label, options => Configure(options, provider));
        services
            .AddOptions<CookieAuthenticationOptions>(ExternalScheme)
            .Configure<CookieNames>(
                (cookie, names) =>
                {
                    Fill(cookie.Cookie, names, "external");
                    cookie.ExpireTimeSpan = _external;
                    cookie.SlidingExpiration = false;
                }
            );
        services
            .AddOptions<OpenIdConnectOptions>(Scheme)
            .Configure<CookieNames>(
                (options, names) =>
                {
                    Fill(options.CorrelationCookie, names, "external-way.");
                    Fill(options.NonceCookie, names, "external-nonce.");
                }
            );
    }

    /// <summary>Maps where the way begins, when there is a provider.</summary>
    public static void MapIdentityProvider(this WebApplication app)
    {
        if (app.Services.GetRequiredService<IOptions<AuthenticationOptions>>().Value.SchemeMap.ContainsKey(Scheme))
        {
            app.MapGet(StartPath, StartAsync).AllowAnonymous();
        }
    }

    /// <summary>What the provider has proved, once; null when the browser brings nothing, or too late.</summary>
    public static async Task<ProvedIdentity?> TakeAsync(HttpContext http)
    {
        var result = await http.AuthenticateAsync(ExternalScheme);
        await http.SignOutAsync(ExternalScheme);
        return ProvedIdentity.Read(result.Principal);
    }

    /// <summary>A link and not a form: browsers follow the form-action policy through every redirect, and providers redirect on.</summary>
    private static async Task StartAsync(HttpContext http, ILoggerFactory logs)
    {
        var asked = SignInAddress.Local(http.Request.Query[SignInAddress.ReturnParameter]);
        if (http.Request.Headers["Sec-Fetch-Site"].ToString() is "cross-site" or "same-site")
        {
            // Another site may not send a person through the door; the sign-in page asks first.
            http.Response.Redirect(SignInAddress.Path);
            return;
        }
        var answer = $"{AnswerPath}?{SignInAddress.ReturnParameter}={Uri.EscapeDataString(asked)}";
        try
        {
            await http.ChallengeAsync(Scheme, new AuthenticationProperties { RedirectUri = answer });
        }
        catch (Exception failure)
            when (failure is InvalidOperationException or HttpRequestException or OpenIdConnectProtocolException or TaskCanceledException
                && !http.RequestAborted.IsCancellationRequested
            )
        {
            Log(logs, failure);
            http.Response.Redirect(AnswerPath + FailedQuery);
        }
    }

    private static void Configure(OpenIdConnectOptions options, IdentityProviderSettings provider)
    {
        options.Authority = provider.Authority.AbsoluteUri;
        options.RequireHttpsMetadata = provider.Authority.Scheme == Uri.UriSchemeHttps;
        options.ClientId = provider.ClientId;
        options.ClientSecret = provider.ClientSecret;
        options.SignInScheme = ExternalScheme;
        options.CallbackPath = CallbackPath;
        // Nobody signs out by an address that another site can call.
        options.RemoteSignOutPath = default;
        options.SignedOutCallbackPath = default;
        options.ResponseType = OpenIdConnectResponseType.Code;
        // Not by a form of the provider's: it would need cookies that go along with requests of any site.
        options.ResponseMode = OpenIdConnectResponseMode.Query;
        options.UsePkce = true;
        options.Scope.Clear();
        foreach (var scope in new[] { "openid", "profile", "email" })
        {
            options.Scope.Add(scope);
        }
        options.SaveTokens = false;
        options.MapInboundClaims = false;
        options.ClaimActions.Clear();
        options.GetClaimsFromUserInfoEndpoint = true;
        options.BackchannelTimeout = _answerTime;
        options.RemoteAuthenticationTimeout = _wayThereAndBack;
        options.ProtocolValidator.NonceLifetime = _wayThereAndBack;
        // The provider and the browser know no other time, also when the application keeps to one day.
        options.TimeProvider = TimeProvider.System;
        options.Events = new OpenIdConnectEvents
        {
            OnTokenValidated = KeepWhatIsProved,
            OnUserInformationReceived = KeepEmail,
            OnRemoteFailure = ShowFailure,
        };
    }

    private static Task KeepWhatIsProved(TokenValidatedContext context)
    {
        var token = context.SecurityToken;
        context.Principal = ProvedIdentity.OfToken(token.Issuer, token.Subject, context.Principal!).ToPrincipal(ExternalScheme);
        return Task.CompletedTask;
    }

    private static Task KeepEmail(UserInformationReceivedContext context)
    {
        context.Principal = ProvedIdentity.Read(context.Principal)!.WithEmailOf(context.User.RootElement).ToPrincipal(ExternalScheme);
        return Task.CompletedTask;
    }

    private static Task ShowFailure(RemoteFailureContext context)
    {
        Log(context.HttpContext.RequestServices.GetRequiredService<ILoggerFactory>(), context.Failure);
        context.Response.Redirect(AnswerPath + FailedQuery);
        context.HandleResponse();
        return Task.CompletedTask;
    }

    // By its kind only: what the provider says about a failure may name a person.
    private static void Log(ILoggerFactory logs, Exception? failure) =>
        logs.CreateLogger(typeof(IdentityProvider))
            .LogWarning("Signing in at the identity provider failed: {Kind}", failure?.GetType().Name ?? "no reason");

    private static void Fill(CookieBuilder cookie, CookieNames names, string purpose)
    {
        cookie.Name = names.For(purpose);
        cookie.Path = "/";
        cookie.HttpOnly = true;
        // The way back from the provider begins at another site.
        cookie.SameSite = SameSiteMode.Lax;
        cookie.SecurePolicy = names.SecurePolicy;
    }
}
