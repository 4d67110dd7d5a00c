using System.Globalization;

namespace Caseload.Integration.Tests.PrivateCluster;

internal static class ListeningPorts
{
    private const string ListenState = "0A";

    /// <summary>Local TCP addresses (hexadecimal, as the kernel writes them) that a process listens on.</summary>
    public static async Task<IReadOnlyList<string>> OfAsync(int pid, CancellationToken cancellationToken)
    {
        var process = string.Create(CultureInfo.InvariantCulture, $"/proc/{pid}");
        var sockets = Directory
            .EnumerateFileSystemEntries(Path.Combine(process, "fd"))
            .Select(file => new FileInfo(file).LinkTarget ?? "")
            .Where(target => target.StartsWith("socket:[", StringComparison.Ordinal))
            .Select(target => target["socket:[".Length..^1])
            .ToHashSet(StringComparer.Ordinal);
        sockets.ShouldNotBeEmpty();

        var found = new List<string>();
        foreach (var table in (string[])["tcp", "tcp6"])
        {
            var file = Path.Combine(process, "net", table);
            if (!File.Exists(file))
            {
                continue;
            }

            var lines = await File.ReadAllLinesAsync(file, cancellationToken);
            found.AddRange(
                lines
                    .Skip(1)
                    .Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
                    .Where(fields => fields[3] == ListenState && sockets.Contains(fields[9]))
                    .Select(fields => fields[1])
            );
        }

        return found;
    }
}
