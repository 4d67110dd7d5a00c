using System.Diagnostics;
using System.Globalization;
using Caseload.Data.Setup;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Platform.Mail;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.Extensions.DependencyInjection;
using MimeKit;

namespace Caseload.Integration.Tests.Year;

/// <summary>This test program started once more as a node: it does every job of the application in turns, until it is killed.</summary>
internal sealed class NodeProcess : IDisposable
{
    private const string DatabaseSetting = "CASELOAD_NODE_PROCESS_DATABASE";
    private const string FolderSetting = "CASELOAD_NODE_PROCESS_FOLDER";
    private const string NumberSetting = "CASELOAD_NODE_PROCESS_NUMBER";
    private const string PortSetting = "CASELOAD_NODE_PROCESS_PORT";
    private const string ClockFile = "clock";

    private readonly Process _process;

    private NodeProcess(Process process) => _process = process;

    internal static string ClockPath(string folder) => Path.Combine(folder, ClockFile);

    internal static NodeProcess Start(string connectionString, string folder, int number, int port)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath!) { UseShellExecute = false };
        start.Environment[DatabaseSetting] = connectionString;
        start.Environment[FolderSetting] = folder;
        start.Environment[NumberSetting] = number.ToString(CultureInfo.InvariantCulture);
        start.Environment[PortSetting] = port.ToString(CultureInfo.InvariantCulture);
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet")
        {
            start.ArgumentList.Add(typeof(NodeProcess).Assembly.Location);
        }
        return new NodeProcess(Process.Start(start)!);
    }

    /// <summary>Whether it ended, which it never does by itself.</summary>
    internal bool HasExited => _process.HasExited;

    /// <summary>Ends it without a word.</summary>
    internal void Kill()
    {
        _process.Kill();
        _process.WaitForExit();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            Kill();
        }
        _process.Dispose();
    }

    /// <summary>Works if that is what this process was started for; false if not.</summary>
    internal static async Task<bool> TryRunAsync()
    {
        if (Environment.GetEnvironmentVariable(DatabaseSetting) is not { Length: > 0 } connectionString)
        {
            return false;
        }
        var folder = Environment.GetEnvironmentVariable(FolderSetting)!;
        var number = int.Parse(Environment.GetEnvironmentVariable(NumberSetting)!, CultureInfo.InvariantCulture);
        var port = int.Parse(Environment.GetEnvironmentVariable(PortSetting)!, CultureInfo.InvariantCulture);
        await WorkAsync(connectionString, folder, number, port);
        return true;
    }

    private static async Task WorkAsync(string connectionString, string folder, int number, int port)
    {
        using var clock = new SharedClock(ClockPath(folder));
        await using var services = ServicesOf(connectionString, folder, port, clock).BuildServiceProvider();
        var keeper = services.GetRequiredService<JobKeeper>();
        var names = services.GetRequiredService<JobList>().Asked.Select(job => job.Name).ToList();
        var parent = Process.GetProcessById(ParentId());
        var worked = 0L;
        while (!parent.HasExited)
        {
            var turn = clock.Turn;
            if (turn == worked)
            {
                await Task.Delay(1);
                continue;
            }
            foreach (var name in names)
            {
                await keeper.AskAsync(name, CancellationToken.None);
            }
            worked = turn;
            clock.PutWorked(number, turn);
        }
    }

    /// <summary>The application's jobs and mail as the web host registers them, on a clock of the tests.</summary>
    internal static ServiceCollection ServicesOf(string connectionString, string folder, int port, TimeProvider clock)
    {
        var services = new ServiceCollection();
        services.AddLogging();
        services.AddSingleton(clock);
        services.AddSingleton<FailureLog>();
        services.AddSingleton(Mail.MailSteps.Address);
        services.AddSingleton<IDataProtectionProvider>(new EphemeralDataProtectionProvider());
        services.AddCaseloadData(connectionString);
        services.AddMail(
            new MailSettings(
                new MailServer("127.0.0.1", port, MailSecurity.None, null, null, null),
                new MailboxAddress("Caseload", "caseload@example.org"),
                ReplyTo: null
            ),
            folder
        );
        services.AddJobClasses();
        return services;
    }

    /// <summary>Whoever started this process: without it, there is nothing more to do.</summary>
    private static int ParentId() =>
        int.Parse(File.ReadAllText("/proc/self/stat").Split(") ")[1].Split(' ')[1], CultureInfo.InvariantCulture);
}
