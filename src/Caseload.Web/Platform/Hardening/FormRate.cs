using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Threading.RateLimiting;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.RateLimiting;

namespace Caseload.Web.Platform.Hardening;

/// <summary>Forms that can be used without signing in take only so many posts a minute from one address.</summary>
public static class FormRate
{
    /// <summary>Posts from one address in <see cref="Window"/>; a clinic behind one address signs in within it.</summary>
    public const int PostsPerWindow = 30;

    /// <summary>How long posts are counted together.</summary>
    public static readonly TimeSpan Window = TimeSpan.FromMinutes(1);

    private const string Title = "Too many attempts";

    private static readonly PathString[] _limited = ["/account", "/setup", "/welcome", "/mail/stop"];

    /// <summary>Registers the limiter.</summary>
    public static void AddFormRate(this IServiceCollection services) =>
        services.AddRateLimiter(limiter =>
        {
            limiter.GlobalLimiter = PartitionedRateLimiter.Create<HttpContext, string>(context =>
                IsLimited(context.Request)
                    ? RateLimitPartition.GetFixedWindowLimiter(
                        ClientOf(context.Connection.RemoteIpAddress),
                        _ => new FixedWindowRateLimiterOptions { PermitLimit = PostsPerWindow, Window = Window }
                    )
                    : RateLimitPartition.GetNoLimiter("")
            );
            limiter.OnRejected = (rejected, _) => new ValueTask(AnswerAsync(rejected));
        });

    /// <summary>Who is counted: an address, of the sixth version its network, because one household has billions of those.</summary>
    public static string ClientOf(IPAddress? address)
    {
        if (address is null)
        {
            return "unknown";
        }
        if (address.IsIPv4MappedToIPv6 || address.AddressFamily == AddressFamily.InterNetwork)
        {
            return address.MapToIPv4().ToString();
        }
        var bytes = address.GetAddressBytes();
        bytes.AsSpan(8).Clear();
        return new IPAddress(bytes) + "/64";
    }

    private static bool IsLimited(HttpRequest request) =>
        HttpMethods.IsPost(request.Method)
        && Array.Exists(_limited, start => request.Path.StartsWithSegments(start, StringComparison.OrdinalIgnoreCase));

    private static Task AnswerAsync(OnRejectedContext rejected)
    {
        var context = rejected.HttpContext;
        var wait = rejected.Lease.TryGetMetadata(MetadataName.RetryAfter, out var after) ? after : Window;
        var seconds = Math.Max(1, (int)Math.Ceiling(wait.TotalSeconds));
        var detail = string.Create(CultureInfo.InvariantCulture, $"Wait {seconds} seconds, then try again. Nothing was changed.");
        context.Response.Headers.RetryAfter = seconds.ToString(CultureInfo.InvariantCulture);
        if (WantsPage(context.Request))
        {
            context.Response.StatusCode = StatusCodes.Status429TooManyRequests;
            context.Response.ContentType = "text/html; charset=utf-8";
            return context.Response.WriteAsync(Page(detail), context.RequestAborted);
        }
        ProblemHttpResult problem = TypedResults.Problem(detail, statusCode: StatusCodes.Status429TooManyRequests, title: Title);
        return problem.ExecuteAsync(context);
    }

    private static bool WantsPage(HttpRequest request) =>
        request.Headers.Accept.ToString().Contains("text/html", StringComparison.OrdinalIgnoreCase)
        || (request.HasFormContentType && request.Headers.Accept.Count == 0);

    private static string Page(string detail) =>
        $"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
                <meta charset="utf-8" />
                <meta name="viewport" content="width=device-width, initial-scale=1.0" />
                <title>{Title} · Caseload</title>
                <link rel="stylesheet" href="/app.css" />
            </head>
            <body>
                <main class="plain-page">
                    <h1>{Title}</h1>
                    <p>{detail}</p>
                    <p>Go back in the browser to return to the form.</p>
                </main>
            </body>
            </html>
            """;
}
