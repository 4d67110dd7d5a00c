using System.Diagnostics;
using System.Runtime.CompilerServices;
using Caseload.Data.PrivateCluster;
using Cluster = Caseload.Data.PrivateCluster.PrivateCluster;

namespace Caseload.Integration.Tests.PrivateCluster;

/// <summary>This test program started once more, only to start a cluster and be killed.</summary>
internal static class StarterProcess
{
    private const string FolderSetting = "CASELOAD_STARTER_PROCESS_FOLDER";
    private const string Ready = "ready";

    public static async Task<Process> StartAsync(string dataFolder)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath!) { RedirectStandardOutput = true, UseShellExecute = false };
        start.Environment[FolderSetting] = dataFolder;

        // The test platform sees to it that the program can be started by its dll as well.
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet")
        {
            start.ArgumentList.Add(typeof(StarterProcess).Assembly.Location);
        }

        var process = Process.Start(start)!;
        var line = await process.StandardOutput.ReadLineAsync();
        line.ShouldBe(Ready);
        return process;
    }

    [ModuleInitializer]
    internal static void BecomeStarter()
    {
        if (Environment.GetEnvironmentVariable(FolderSetting) is not { Length: > 0 } folder)
        {
            return;
        }

        Cluster.StartAsync(new PrivateClusterOptions(folder)).GetAwaiter().GetResult();
        Console.WriteLine(Ready);

        using var never = new ManualResetEvent(initialState: false);
        never.WaitOne();
    }
}
