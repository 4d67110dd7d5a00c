using Caseload.Data;
using Caseload.DemoSeed;
using Caseload.Web.Platform.Access;
using Caseload.Web.Platform.Hardening;

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
        var welcome = await PrepareAsync(app.Services, start, stopping.Token);
        await app.StartAsync(stopping.Token);
        Console.WriteLine($"Caseload{(start.IsDemo ? " with demo data" : "")} is ready: {string.Join(" ", app.Urls)}");
        foreach (var line in welcome)
        {
            Console.WriteLine(line);
        }
        await app.WaitForShutdownAsync(stopping.Token);
        return 0;
    }

    /// <summary>Loads the demo, or makes the link by which an empty installation is set up.</summary>
    /// <returns>What to print once it is ready.</returns>
    private static async Task<IReadOnlyList<string>> PrepareAsync(IServiceProvider services, HostStart start, CancellationToken ct)
    {
        if (start.IsDemo)
        {
            var time = services.GetRequiredService<TimeProvider>();
            await DemoCaseload.LoadAsync(services.GetRequiredService<CaseloadDb>(), start.Today ?? DemoCaseload.TodayOn(time), time, ct);
            var accounts = await services.GetRequiredService<DemoAccounts>().RenewAsync(ct);
            return [.. accounts.Prepend("Sign in as one of these invented people; the passwords are new at every start:")];
        }
        var address = services.GetRequiredService<PublicAddress>().Uri;
        return await services.GetRequiredService<FirstSetup>().MakeLinkAsync(ct) is { } secret
            ?
            [
                "There is no programme yet. Set up yours and its first administrator by this link, which is good once:",
                $"  {new Uri(address, "setup/" + secret)}",
            ]
            : [];
    }

    /// <summary>The address to listen on.</summary>
    public static string AddressOf(HostStart start) =>
        start.Urls ?? Environment.GetEnvironmentVariable("ASPNETCORE_URLS") ?? DefaultAddress;
}
