using System.Collections;
using System.ComponentModel;
using System.Diagnostics;

namespace Caseload.Data.PrivateCluster;

internal sealed record CommandOutcome(int ExitCode, string Output)
{
    public bool Succeeded => ExitCode == 0;
}

internal static class Command
{
    public const int NotFound = 127;

    public static async Task<CommandOutcome> RunAsync(
        string program,
        IEnumerable<string> arguments,
        string workingFolder,
        string? input,
        CancellationToken cancellationToken
    )
    {
        var start = new ProcessStartInfo(program)
        {
            WorkingDirectory = workingFolder,
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };

        foreach (var argument in arguments)
        {
            start.ArgumentList.Add(argument);
        }

        IsolateFromCallersPostgresSettings(start);

        using var process = new Process();
        process.StartInfo = start;

        try
        {
            process.Start();
        }
        catch (Win32Exception problem)
        {
            return new CommandOutcome(NotFound, problem.Message);
        }

        try
        {
            if (input is not null)
            {
                await process.StandardInput.WriteAsync(input.AsMemory(), cancellationToken);
            }

            process.StandardInput.Close();

            var output = process.StandardOutput.ReadToEndAsync(cancellationToken);
            var errors = process.StandardError.ReadToEndAsync(cancellationToken);
            await process.WaitForExitAsync(cancellationToken);

            return new CommandOutcome(process.ExitCode, (await output + await errors).Trim());
        }
        catch (OperationCanceledException)
        {
            KillQuietly(process);
            throw;
        }
    }

    private static void IsolateFromCallersPostgresSettings(ProcessStartInfo start)
    {
        var names = Environment.GetEnvironmentVariables().Cast<DictionaryEntry>().Select(entry => (string)entry.Key).ToList();

        foreach (var name in names.Where(name => name.StartsWith("PG", StringComparison.Ordinal)))
        {
            start.Environment.Remove(name);
        }

        // Messages are matched below, so they must come in one language.
        start.Environment["LC_ALL"] = "C";
    }

    private static void KillQuietly(Process process)
    {
        try
        {
            process.Kill();
        }
        catch (InvalidOperationException)
        {
            // It ended by itself in the meantime.
        }
    }
}
