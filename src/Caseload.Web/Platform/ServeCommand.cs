using Caseload.Data;
using Caseload.DemoSeed;

namespace Caseload.Web.Platform;

/// <summary>Starts the database when it is ours, migrates it, and serves.</summary>
public static class ServeCommand
{
    private const string DefaultAddress = "http://127.0.0.1:5080";

    /// <summary>Runs until stopped.</summary>
    public static async Task<int> RunAsync(HostStart start)
    {
        using var stopping = new CancellationTokenSource();
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        await using var access = await DatabaseAccess.OpenAsync(start, configuration, Console.Error.WriteLine, stopping.Token);
        if (access.Owner is not null)
        {
            await MigrateCommand.ApplyAsync(access, stopping.Token);
        }

        await using var app = WebHost.Build(start, access, configuration);
        await PrepareProgrammeAsync(app.Services, start, stopping.Token);
        await app.StartAsync(stopping.Token);
        Console.WriteLine($"Caseload{(start.IsDemo ? " with demo data" : "")} is ready: {string.Join(" ", app.Urls)}");
        await app.WaitForShutdownAsync(stopping.Token);
        return 0;
    }

    /// <summary>Makes sure that there is a programme to work in: the demo one, or an empty one to be named on its page.</summary>
    private static async Task PrepareProgrammeAsync(IServiceProvider services, HostStart start, CancellationToken ct)
    {
        var db = services.GetRequiredService<CaseloadDb>();
        var time = services.GetRequiredService<TimeProvider>();
        if (start.IsDemo)
        {
            await DemoCaseload.LoadAsync(db, start.Today ?? DemoCaseload.TodayOn(time), time, ct);
        }
        else if ((await db.ListProgrammesAsync(ct)).Count == 0)
        {
            await db.CreateProgrammeAsync(
                Guid.CreateVersion7(time.GetUtcNow()),
                "Our programme",
                TimeZoneInfo.Local.HasIanaId ? TimeZoneInfo.Local.Id : "UTC",
                time.GetUtcNow(),
                ct
            );
        }
    }

    /// <summary>The address to listen on.</summary>
    public static string AddressOf(HostStart start) =>
        start.Urls ?? Environment.GetEnvironmentVariable("ASPNETCORE_URLS") ?? DefaultAddress;
}
