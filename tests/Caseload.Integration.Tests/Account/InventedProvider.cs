using System.Buffers.Text;
using System.Collections.Concurrent;
using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Microsoft.IdentityModel.JsonWebTokens;
using Microsoft.IdentityModel.Tokens;

namespace Caseload.Integration.Tests.Account;

/// <summary>Somebody's account at the invented provider, and what it does wrong when it is asked.</summary>
internal sealed record InventedAccount(string Subject, string? Email = null)
{
    internal bool IsEmailVerified { get; init; } = true;

    /// <summary>The e-mail address is told at the user information endpoint only.</summary>
    internal bool IsEmailApart { get; init; }

    internal string[] Methods { get; init; } = ["pwd"];

    internal bool HasWrongNonce { get; init; }

    internal bool HasWrongKey { get; init; }

    /// <summary>The error the provider sends people back with instead of a code.</summary>
    internal string? Error { get; init; }

    internal string? ErrorDescription { get; init; }
}

/// <summary>An identity provider on a loopback port that asks nothing: whoever comes is the account that is set.</summary>
internal sealed class InventedProvider : IAsyncDisposable
{
    internal const string ClientId = "caseload-under-test";
    internal const string ClientSecret = "an invented client secret";
    private const string AccessTokenPrefix = "access-";

    private readonly WebApplication _app;
    private readonly RSA _key = RSA.Create(2048);
    private readonly RSA _strangeKey = RSA.Create(2048);
    private readonly ConcurrentDictionary<string, Grant> _grants = new();

    private InventedProvider()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        _app = builder.Build();
        _app.MapGet("/.well-known/openid-configuration", Describe);
        _app.MapGet("/keys", Keys);
        _app.MapGet("/authorize", Authorize);
        _app.MapPost("/token", TokenAsync);
        _app.MapGet("/person", PersonOf);
    }

    /// <summary>Who comes next.</summary>
    internal InventedAccount Account { get; set; } = new("nobody");

    /// <summary>How many tokens were given out, each for a code, its verifier and the client's secret.</summary>
    internal int TokenCount { get; private set; }

    internal string Issuer => _app.Urls.Single();

    public async ValueTask DisposeAsync()
    {
        await _app.DisposeAsync();
        _key.Dispose();
        _strangeKey.Dispose();
    }

    internal static async Task<InventedProvider> StartAsync()
    {
        var provider = new InventedProvider();
        await provider._app.StartAsync();
        return provider;
    }

    private IResult Describe() =>
        Results.Json(
            new
            {
                issuer = Issuer,
                authorization_endpoint = Issuer + "/authorize",
                token_endpoint = Issuer + "/token",
                userinfo_endpoint = Issuer + "/person",
                jwks_uri = Issuer + "/keys",
                response_types_supported = new[] { "code" },
                subject_types_supported = new[] { "public" },
                id_token_signing_alg_values_supported = new[] { "RS256" },
            }
        );

    private IResult Keys()
    {
        var open = _key.ExportParameters(includePrivateParameters: false);
        return Results.Json(
            new
            {
                keys = new[]
                {
                    new
                    {
                        kty = "RSA",
                        use = "sig",
                        alg = "RS256",
                        kid = "one",
                        n = Base64Url.EncodeToString(open.Modulus),
                        e = Base64Url.EncodeToString(open.Exponent),
                    },
                },
            }
        );
    }

    private IResult Authorize(HttpRequest request)
    {
        var query = request.Query;
        string Of(string name) => query[name].ToString();
        if (
            Of("client_id") != ClientId
            || Of("response_type") != "code"
            || Of("scope") != "openid profile email"
            || Of("code_challenge_method") != "S256"
            || Of("code_challenge").Length == 0
            || Of("nonce").Length == 0
            || Of("response_mode") is not ("" or "query")
        )
        {
            return Results.BadRequest();
        }
        var state = Uri.EscapeDataString(Of("state"));
        if (Account.Error is { } error)
        {
            return Results.Redirect(
                $"{Of("redirect_uri")}?error={error}&error_description={Uri.EscapeDataString(Account.ErrorDescription ?? "")}&state={state}"
            );
        }
        var code = ProviderSite.NewName();
        _grants[code] = new Grant(Account, Of("nonce"), Of("code_challenge"), Of("redirect_uri"));
        return Results.Redirect($"{Of("redirect_uri")}?code={code}&state={state}");
    }

    private async Task<IResult> TokenAsync(HttpRequest request)
    {
        var form = await request.ReadFormAsync();
        if (
            !_grants.TryRemove(form["code"].ToString(), out var grant)
            || form["client_id"] != ClientId
            || form["client_secret"] != ClientSecret
            || form["grant_type"] != "authorization_code"
            || form["redirect_uri"] != grant.RedirectUri
            || Base64Url.EncodeToString(SHA256.HashData(Encoding.ASCII.GetBytes(form["code_verifier"].ToString()))) != grant.Challenge
        )
        {
            return Results.Json(new { error = "invalid_grant" }, statusCode: StatusCodes.Status400BadRequest);
        }
        TokenCount++;
        var accessToken = AccessTokenPrefix + ProviderSite.NewName();
        _grants[accessToken] = grant;
        return Results.Json(
            new
            {
                access_token = accessToken,
                token_type = "Bearer",
                expires_in = 300,
                id_token = IdTokenFor(grant),
            }
        );
    }

    private string IdTokenFor(Grant grant)
    {
        var (account, at) = (grant.Account, ProviderSite.NowAt.UtcDateTime);
        var claims = new Dictionary<string, object>
        {
            ["sub"] = account.Subject,
            ["nonce"] = account.HasWrongNonce ? "another" : grant.Nonce,
            ["amr"] = account.Methods,
        };
        if (account is { Email: { } email, IsEmailApart: false })
        {
            claims["email"] = email;
            claims["email_verified"] = account.IsEmailVerified;
        }
        return new JsonWebTokenHandler().CreateToken(
            new SecurityTokenDescriptor
            {
                Issuer = Issuer,
                Audience = ClientId,
                IssuedAt = at,
                NotBefore = at,
                Expires = at.AddMinutes(5),
                Claims = claims,
                SigningCredentials = new SigningCredentials(
                    new RsaSecurityKey(account.HasWrongKey ? _strangeKey : _key) { KeyId = "one" },
                    SecurityAlgorithms.RsaSha256
                ),
            }
        );
    }

    private IResult PersonOf(HttpRequest request)
    {
        var token = request.Headers.Authorization.ToString().Replace("Bearer ", "", StringComparison.Ordinal);
        if (!token.StartsWith(AccessTokenPrefix, StringComparison.Ordinal) || !_grants.TryGetValue(token, out var grant))
        {
            return Results.Unauthorized();
        }
        var account = grant.Account;
        return account.IsEmailApart
            ? Results.Json(
                new
                {
                    sub = account.Subject,
                    email = account.Email,
                    email_verified = account.IsEmailVerified,
                }
            )
            : Results.Json(new { sub = account.Subject, updated_at = ProviderSite.NowAt.ToUnixTimeSeconds() });
    }

    private sealed record Grant(InventedAccount Account, string Nonce, string Challenge, string RedirectUri);
}
