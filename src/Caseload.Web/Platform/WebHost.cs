using System.Reflection;
using Caseload.Data;
using Caseload.Data.Setup;
using Caseload.Web.Components;
using Caseload.Web.Platform.Access;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Platform.Mail;
using Caseload.Web.Platform.VisitCalendar;
using MudBlazor;
using MudBlazor.Services;
using Serilog;
using Serilog.Events;

namespace Caseload.Web.Platform;

/// <summary>Everything the web application is made of, in order.</summary>
public static class WebHost
{
    /// <summary>Builds the application on a database that is ready.</summary>
    public static WebApplication Build(HostStart start, DatabaseAccess access, IConfiguration settings)
    {
        var builder = WebApplication.CreateBuilder(
            new WebApplicationOptions
            {
                ContentRootPath = AppContext.BaseDirectory,
                ApplicationName = typeof(App).Assembly.GetName().Name,
                // There is no other: what a development environment shows on failure, a setting must not be able to show.
                EnvironmentName = Environments.Production,
            }
        );
        builder.WebHost.UseUrls(ServeCommand.AddressOf(start));
        builder.Services.AddSerilog(logging => Configure(logging, start), preserveStaticLogger: true);
        builder.Services.AddSingleton(start);
        builder.Services.AddSingleton(start.Today is { } today ? new FixedDayTime(today) : TimeProvider.System);
        builder.Services.AddSingleton<FailureLog>();
        builder.Services.AddSingleton<ChangeNotifier>();
        builder.Services.AddSingleton<ISavedListener, SavedChanges>();
        builder.Services.AddScoped<ActorSource>();
        builder.Services.AddPeople();
        builder.Services.AddScoped<ScreenPreferences>();
        builder.Services.AddCaseloadData(access.App);
        builder.AddHardening(start, settings);
        builder.Services.AddSingleton<CalendarFeeds>();
        builder.Services.AddMail(
            MailSettings.Read(settings, PublicAddress.Find(ServeCommand.AddressOf(start), settings)),
            start.DataFolder
        );
        AddHandlers(builder.Services);
        builder.Services.AddJobs();
        builder.Services.AddHealthChecks().AddCheck<DatabaseHealth>("database");
        builder.Services.AddMudServices(mud =>
        {
            mud.SnackbarConfiguration.PositionClass = Defaults.Classes.Position.BottomCenter;
            mud.SnackbarConfiguration.VisibleStateDuration = 6000;
        });
        builder.Services.AddRazorComponents().AddInteractiveServerComponents();
        builder.WebHost.UseStaticWebAssets();

        var app = builder.Build();
        app.UseRequestLog();
        app.UseErrorPage("/error");
        app.UseStatusCodePagesWithReExecute("/not-found", "?status={0}", createScopeForStatusCodePages: true);
        app.UsePlainRepeats();
        app.UseHardening();
        app.UseAuthentication();
        app.UseAuthorization();
        app.UseAntiforgery();
        app.MapHealthChecks("/health/ready").AllowAnonymous().DisableHttpMetrics();
        app.MapStaticAssets().AllowAnonymous();
        app.MapPasskeys();
        app.MapIdentityProvider();
        app.MapMailStop();
        CalendarFeeds.Map(app);
        app.MapRazorComponents<App>().AddInteractiveServerRenderMode();
        app.Services.RequireReadableKeys();
        return app;
    }

    /// <summary>Every use case is a class that ends in Handler; all are stateless.</summary>
    public static void AddHandlers(IServiceCollection services)
    {
        foreach (
            var type in typeof(WebHost)
                .Assembly.GetTypes()
                .Where(type => type is { IsClass: true, IsAbstract: false } && type.Name.EndsWith("Handler", StringComparison.Ordinal))
        )
        {
            services.AddSingleton(type);
        }
    }

    private static void Configure(LoggerConfiguration logging, HostStart start)
    {
        logging
            .MinimumLevel.Information()
            .MinimumLevel.Override("Microsoft", LogEventLevel.Warning)
            .MinimumLevel.Override("Microsoft.Hosting.Lifetime", LogEventLevel.Warning)
            .MinimumLevel.Override("System", LogEventLevel.Warning)
            .MinimumLevel.Override("Quartz", LogEventLevel.Warning)
            // It warns of every process that was restarted.
            .MinimumLevel.Override("Quartz.Impl.AdoJobStore", LogEventLevel.Error)
            .Enrich.FromLogContext()
            .WriteCautiously(start.DataFolder);
    }
}
