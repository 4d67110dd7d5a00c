using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using Caseload.Web.Platform;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>The application as a process of its own, to be killed.</summary>
internal sealed class ApplicationProcess : IAsyncDisposable
{
    private readonly ConcurrentQueue<string> _complaints = [];
    private readonly Process _process;

    private ApplicationProcess(string connectionString, string dataFolder)
    {
        var start = new ProcessStartInfo("dotnet")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        foreach (var argument in new[] { typeof(WebHost).Assembly.Location, "--data", dataFolder, "--urls", "http://127.0.0.1:0" })
        {
            start.ArgumentList.Add(argument);
        }
        start.Environment["ConnectionStrings__Caseload"] = connectionString;
        _process = Process.Start(start)!;
        _process.ErrorDataReceived += (_, line) => _complaints.Enqueue(line.Data ?? "");
        _process.BeginErrorReadLine();
        Id = _process.Id.ToString(CultureInfo.InvariantCulture);
    }

    public string Id { get; }

    /// <summary>Starts it and waits until it serves. Processes on one database share the folder that holds the certificate of its keys.</summary>
    public static async Task<ApplicationProcess> StartAsync(string connectionString, string dataFolder)
    {
        var application = new ApplicationProcess(connectionString, dataFolder);
        string? line;
        do
        {
            line = await application._process.StandardOutput.ReadLineAsync();
        } while (line is not null && !line.Contains("is ready", StringComparison.Ordinal));
        line.ShouldNotBeNull(string.Join('\n', application._complaints));
        return application;
    }

    /// <summary>Ends it without a word, as a power cut would.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        await KillAsync();
        _process.Dispose();
    }
}
