using Caseload.Integration.Tests.Mail;
using Caseload.Integration.Tests.Year;
using Xunit.MicrosoftTestingPlatform;
using Xunit.Runner.InProc.SystemConsole;

namespace Caseload.Integration.Tests;

/// <summary>The test program. Some tests start it once more, to be killed at work; then it runs no test.</summary>
internal static class Program
{
    private static async Task<int> Main(string[] args)
    {
        if (await SenderProcess.TryRunAsync() || await NodeProcess.TryRunAsync())
        {
            return 0;
        }
        return args.Any(argument => argument is "--server" or "--internal-msbuild-node")
            ? await TestPlatformTestFramework.RunAsync(args, SelfRegisteredExtensions.AddSelfRegisteredExtensions)
            : await ConsoleRunner.Run(args);
    }
}
