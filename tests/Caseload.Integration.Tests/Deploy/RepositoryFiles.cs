using System.Diagnostics;

namespace Caseload.Integration.Tests.Deploy;

internal static class RepositoryFiles
{
    private static readonly string Root = FindRoot();

    public static string Read(string path) => File.ReadAllText(Path.Combine(Root, path));

    /// <summary>Files of one name in the source folders, wherever they lie.</summary>
    public static IReadOnlyList<string> Find(string name) =>
        [
            .. new[] { "src", "tests", "demo-seed" }
                .SelectMany(folder => Directory.EnumerateFiles(Path.Combine(Root, folder), name, SearchOption.AllDirectories))
                .Where(file => !file.Contains("/bin/", StringComparison.Ordinal) && !file.Contains("/obj/", StringComparison.Ordinal)),
        ];

    public static bool IsIn(string file, string folder) => file.StartsWith(Path.Combine(Root, folder) + "/", StringComparison.Ordinal);

    public static UnixFileMode ModeOf(string path) => File.GetUnixFileMode(Path.Combine(Root, path));

    public static async Task<(int ExitCode, string Output)> RunAsync(
        string script,
        IEnumerable<string> arguments,
        CancellationToken cancellationToken
    )
    {
        var start = new ProcessStartInfo(Path.Combine(Root, script), arguments)
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(cancellationToken);
        var errors = process.StandardError.ReadToEndAsync(cancellationToken);
        await process.WaitForExitAsync(cancellationToken);

        return (process.ExitCode, await output + await errors);
    }

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "Caseload.sln")))
            {
                return folder.FullName;
            }
        }

        throw new InvalidOperationException("The tests must run from inside the repository.");
    }
}
