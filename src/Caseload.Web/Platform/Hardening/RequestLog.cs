using Serilog;
using Serilog.Events;

namespace Caseload.Web.Platform.Hardening;

/// <summary>One line for each request, with the pattern of its route: paths and queries hold ids and one-time codes.</summary>
public static class RequestLog
{
    /// <summary>Writes the line when the request has been answered, whatever answered it.</summary>
    public static void UseRequestLog(this IApplicationBuilder app)
    {
        app.UseSerilogRequestLogging(options =>
        {
            options.Logger = app.ApplicationServices.GetRequiredService<Serilog.ILogger>();
            options.MessageTemplate = "{RequestMethod} {Route} answered {StatusCode} in {Elapsed:0.0} ms";
            options.IncludeQueryInRequestPath = false;
            options.GetMessageTemplateProperties = (context, _, elapsed, status) =>
                [
                    new LogEventProperty("RequestMethod", new ScalarValue(KnownMethod(context.Request.Method))),
                    new LogEventProperty("Route", new ScalarValue(context.Features.Get<AskedRoute>()!.Pattern)),
                    new LogEventProperty("StatusCode", new ScalarValue(status)),
                    new LogEventProperty("Elapsed", new ScalarValue(elapsed)),
                ];
        });
        app.Use(
            (context, next) =>
            {
                // A failure is shown by running the request again, as another one; the line is about the first.
                context.Features.Set(new AskedRoute((context.GetEndpoint() as RouteEndpoint)?.RoutePattern.RawText ?? "(no route)"));
                return next(context);
            }
        );
    }

    // A method is text of the sender like any other.
    private static string KnownMethod(string method) => method.Length <= 10 && method.All(char.IsAsciiLetterUpper) ? method : "(other)";

    private sealed record AskedRoute(string Pattern);
}
