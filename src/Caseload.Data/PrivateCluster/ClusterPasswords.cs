using System.Runtime.Versioning;
using System.Security.Cryptography;

namespace Caseload.Data.PrivateCluster;

internal sealed record ClusterPasswords(string Owner, string App)
{
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    [UnsupportedOSPlatform("windows")]
    public static async Task<ClusterPasswords?> FindAsync(string file, CancellationToken cancellationToken)
    {
        if (!File.Exists(file))
        {
            return null;
        }

        if (File.GetUnixFileMode(file) != OwnerOnly)
        {
            File.SetUnixFileMode(file, OwnerOnly);
        }

        var lines = await File.ReadAllLinesAsync(file, cancellationToken);
        var owner = Find(lines, PrivateCluster.OwnerRole);
        var app = Find(lines, PrivateCluster.AppRole);

        return owner is null || app is null
            ? throw PrivateClusterException.With($"The password file {file} is damaged. Bring it back from a backup.")
            : new ClusterPasswords(owner, app);
    }

    [UnsupportedOSPlatform("windows")]
    public static async Task<ClusterPasswords> CreateAsync(string file, CancellationToken cancellationToken)
    {
        var passwords = new ClusterPasswords(MakePassword(), MakePassword());
        var partFile = $"{file}.new";
        File.Delete(partFile);

        await using (
            var stream = new FileStream(
                partFile,
                new FileStreamOptions
                {
                    Mode = FileMode.CreateNew,
                    Access = FileAccess.Write,
                    UnixCreateMode = OwnerOnly,
                }
            )
        )
        {
            var text = $"{PrivateCluster.OwnerRole}={passwords.Owner}\n{PrivateCluster.AppRole}={passwords.App}\n";
            await stream.WriteAsync(System.Text.Encoding.ASCII.GetBytes(text), cancellationToken);
            stream.Flush(flushToDisk: true);
        }

        File.Move(partFile, file);
        return passwords;
    }

    private static string? Find(IEnumerable<string> lines, string role) =>
        lines.FirstOrDefault(line => line.StartsWith($"{role}=", StringComparison.Ordinal))?[(role.Length + 1)..];

    private static string MakePassword() => Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));
}
