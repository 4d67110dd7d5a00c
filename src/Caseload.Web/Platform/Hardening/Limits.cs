using System.Security.Authentication;
using Microsoft.AspNetCore.SignalR;

namespace Caseload.Web.Platform.Hardening;

/// <summary>How much a request may bring, and which methods are answered.</summary>
public static class Limits
{
    /// <summary>The largest body: forms only, there are no uploads.</summary>
    public const long BodyBytes = 1024 * 1024;

    /// <summary>The largest message on a circuit, which holds one text field at most.</summary>
    public const long MessageBytes = 32 * 1024;

    /// <summary>Sets the limits of server and circuits.</summary>
    public static void AddCaseloadLimits(this WebApplicationBuilder builder)
    {
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = BodyBytes;
            kestrel.Limits.MaxRequestLineSize = 4 * 1024;
            kestrel.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
            kestrel.Limits.MaxRequestHeaderCount = 60;
            kestrel.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(15);
            // When Caseload does TLS by itself: nothing older than 1.2.
            kestrel.ConfigureHttpsDefaults(https => https.SslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13);
        });
        builder.Services.Configure<HubOptions>(hubs => hubs.MaximumReceiveMessageSize = MessageBytes);
    }

    /// <summary>Refuses the methods that send a request back to its sender, cookies included, and bodies that say they are too large.</summary>
    public static void UseCaseloadLimits(this IApplicationBuilder app) =>
        app.Use(
            async (context, next) =>
            {
                if (HttpMethods.IsTrace(context.Request.Method) || context.Request.Method == "TRACK")
                {
                    context.Response.Headers.Allow = "GET, HEAD, POST";
                    await context.AnswerPlainlyAsync(StatusCodes.Status405MethodNotAllowed, "This method is not answered here.");
                }
                else if (context.Request.ContentLength > BodyBytes)
                {
                    await context.AnswerPlainlyAsync(
                        StatusCodes.Status413PayloadTooLarge,
                        "This is more than Caseload takes at once. Nothing was saved; go back and shorten the longest text."
                    );
                }
                else
                {
                    await next(context);
                }
            }
        );

    /// <summary>Shows a page of the application when a request fails.</summary>
    /// <remarks>A request the server could not read keeps the status that says so: it is not a failure of ours.</remarks>
    public static void UseErrorPage(this IApplicationBuilder app, string path) =>
        app.UseExceptionHandler(
            new ExceptionHandlerOptions
            {
                ExceptionHandlingPath = path,
                CreateScopeForErrors = true,
                StatusCodeSelector = failure =>
                    failure is BadHttpRequestException unreadable ? unreadable.StatusCode : StatusCodes.Status500InternalServerError,
            }
        );

    /// <summary>Has an error page asked for as one asks for a page: a form that failed must not be posted to it.</summary>
    public static void UsePlainRepeats(this IApplicationBuilder app) =>
        app.Use(
            async (context, next) =>
            {
                try
                {
                    await next(context);
                }
                catch
                {
                    context.Request.Method = HttpMethods.Get;
                    throw;
                }
                if (!context.Response.HasStarted && context.Response.StatusCode >= StatusCodes.Status400BadRequest)
                {
                    context.Request.Method = HttpMethods.Get;
                }
            }
        );

    /// <summary>Answers with a status and one sentence.</summary>
    public static Task AnswerPlainlyAsync(this HttpContext context, int status, string sentence)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync(sentence, context.RequestAborted);
    }
}
