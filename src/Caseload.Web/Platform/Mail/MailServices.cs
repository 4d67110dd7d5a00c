using Microsoft.AspNetCore.Http.HttpResults;

namespace Caseload.Web.Platform.Mail;

/// <summary>What sending mail is made of.</summary>
public static class MailServices
{
    /// <summary>Adds it.</summary>
    public static IServiceCollection AddMail(this IServiceCollection services, MailSettings settings, string dataFolder)
    {
        var folder = new MailFolder(dataFolder);
        services.AddSingleton(settings);
        services.AddSingleton(folder);
        services.AddSingleton<IMailTransport>(settings.Server is { } server ? new SmtpTransport(server) : folder);
        services.AddSingleton<MailStopLinks>();
        services.AddSingleton<MailStop>();
        services.AddSingleton<MailComposer>();
        services.AddSingleton<OutboxDispatcher>();
        return services;
    }

    /// <summary>Takes what mail programs and the page post to stop mail. There is no token but the secret itself: it comes from elsewhere.</summary>
    public static void MapMailStop(this IEndpointRouteBuilder endpoints) =>
        endpoints
            .MapPost(MailStopLinks.Path + "{Secret}", AnswerAsync)
            .AllowAnonymous()
            .DisableAntiforgery()
            // Before the page of the same address, which only shows.
            .WithOrder(-1);

    private static async Task<IResult> AnswerAsync(string secret, HttpContext http, MailStop stop, CancellationToken ct)
    {
        if (!http.Request.HasFormContentType || !(await http.Request.ReadFormAsync(ct)).TryGetValue(MailStop.OneClickField, out var asked))
        {
            return TypedResults.BadRequest();
        }
        await stop.StopAsync(secret, http.Connection.RemoteIpAddress?.ToString(), ct);
        // A mail program wants no page and follows no redirect; a person pressed the button and sees the page again.
        return asked == MailStop.OneClickValue ? TypedResults.Ok() : TypedResults.LocalRedirect(MailStopLinks.Path + secret);
    }
}
