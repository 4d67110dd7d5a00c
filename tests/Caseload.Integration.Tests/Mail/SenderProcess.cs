using System.Diagnostics;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.Setup;
using Caseload.Web.Platform.Mail;
using Microsoft.Extensions.Logging.Abstractions;

namespace Caseload.Integration.Tests.Mail;

/// <summary>This test program started once more, only to send what waits and be killed.</summary>
internal static class SenderProcess
{
    private const string DatabaseSetting = "CASELOAD_SENDER_PROCESS_DATABASE";
    private const string ProgrammeSetting = "CASELOAD_SENDER_PROCESS_PROGRAMME";
    private const string PortSetting = "CASELOAD_SENDER_PROCESS_PORT";

    internal static Process Start(string connectionString, Guid programmeId, int port)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath!) { UseShellExecute = false };
        start.Environment[DatabaseSetting] = connectionString;
        start.Environment[ProgrammeSetting] = programmeId.ToString();
        start.Environment[PortSetting] = port.ToString(CultureInfo.InvariantCulture);
        // The test platform sees to it that the program can be started by its dll as well.
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet")
        {
            start.ArgumentList.Add(typeof(SenderProcess).Assembly.Location);
        }
        return Process.Start(start)!;
    }

    /// <summary>Sends if that is what this process was started for; false if not.</summary>
    internal static async Task<bool> TryRunAsync()
    {
        if (Environment.GetEnvironmentVariable(DatabaseSetting) is not { Length: > 0 } connectionString)
        {
            return false;
        }
        var programmeId = Guid.Parse(Environment.GetEnvironmentVariable(ProgrammeSetting)!);
        var port = int.Parse(Environment.GetEnvironmentVariable(PortSetting)!, CultureInfo.InvariantCulture);
        var db = new CaseloadDb(CaseloadOptions.For(CaseloadOptions.OpenDataSource(connectionString)), TimeProvider.System);
        var server = new MailServer("localhost", port, MailSecurity.None, null, null, null);
        var dispatcher = new OutboxDispatcher(
            db,
            new SmtpTransport(server),
            MailSteps.Composer,
            TimeProvider.System,
            NullLogger<OutboxDispatcher>.Instance
        );
        await dispatcher.RunAsync(programmeId, CancellationToken.None);
        return true;
    }
}
