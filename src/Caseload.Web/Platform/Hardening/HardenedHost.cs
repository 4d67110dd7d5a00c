using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.HttpsPolicy;
using Serilog;
using Serilog.Formatting.Compact;

namespace Caseload.Web.Platform.Hardening;

/// <summary>What protects the host as a whole, in order.</summary>
public static class HardenedHost
{
    private const string Health = "/health";
    private const int HttpsPort = 443;

    /// <summary>Registers what <see cref="UseHardening"/> needs.</summary>
    public static void AddHardening(this WebApplicationBuilder builder, HostStart start, IConfiguration settings)
    {
        var listens = ServeCommand.AddressOf(start);
        var address = PublicAddress.Find(listens, settings);
        var services = builder.Services;
        services.AddSingleton(address);
        services.AddTrustedProxy(address, listens, settings);
        services.AddCaseloadHeaders(address, settings);
        services.AddCaseloadCookies(address);
        services.AddIdentityProvider(settings);
        services.AddFormRate();
        services.AddProtectionKeys(KeyCertificates.Load(settings, start.DataFolder, TimeProvider.System));
        services.Configure<HttpsRedirectionOptions>(redirection =>
        {
            redirection.RedirectStatusCode = StatusCodes.Status308PermanentRedirect;
            redirection.HttpsPort = address.IsSecure ? address.Uri.Port : HttpsPort;
        });
        builder.AddCaseloadLimits();
    }

    /// <summary>Everything that may refuse a request before an endpoint hears of it.</summary>
    public static void UseHardening(this WebApplication app)
    {
        var address = app.Services.GetRequiredService<PublicAddress>();
        app.UseCaseloadLimits();
        if (address.IsSecure)
        {
            // The container asks itself for its health, without TLS.
            app.UseWhen(
                context => !context.Request.Path.StartsWithSegments(Health, StringComparison.OrdinalIgnoreCase),
                plain => plain.UseHttpsRedirection()
            );
        }
        app.UseCookiePolicy();
        app.UseCircuitOrigin(address);
        app.UseRateLimiter();
    }

    /// <summary>Where the log goes: to the console for people, and as JSON to a file a day.</summary>
    public static LoggerConfiguration WriteCautiously(this LoggerConfiguration logging, string dataFolder) =>
        logging.WriteTo.Cautiously(sinks =>
            sinks
                .Console(new OneLineFormatter(), standardErrorFromLevel: Serilog.Events.LogEventLevel.Verbose)
                .WriteTo.File(
                    new CompactJsonFormatter(),
                    Path.Combine(dataFolder, "logs", "caseload-.jsonl"),
                    rollingInterval: RollingInterval.Day,
                    retainedFileCountLimit: 31
                )
        );
}
