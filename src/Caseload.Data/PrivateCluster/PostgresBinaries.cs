using System.Globalization;
using System.Text.RegularExpressions;

namespace Caseload.Data.PrivateCluster;

internal sealed partial record PostgresBinaries(string Folder, int Major)
{
    private const int OldestMajor = 14;
    private const int NewestMajor = 18;
    private const string FolderSetting = "CASELOAD_PG_BIN";

    private static readonly string[] WellKnownFolders =
    [
        "/usr/lib/postgresql/*/bin",
        "/usr/pgsql-*/bin",
        "/usr/libexec/postgresql*",
        "/usr/local/pgsql/bin",
        "/opt/homebrew/opt/postgresql@*/bin",
        "/usr/local/opt/postgresql@*/bin",
        "/Applications/Postgres.app/Contents/Versions/*/bin",
    ];

    public string Initdb => Path.Combine(Folder, "initdb");

    public string PgCtl => Path.Combine(Folder, "pg_ctl");

    /// <param name="wantedMajor">The version of an existing cluster, which only binaries of that version can run.</param>
    public static async Task<PostgresBinaries> FindAsync(string? chosenFolder, int? wantedMajor, CancellationToken cancellationToken)
    {
        var setting = chosenFolder ?? Environment.GetEnvironmentVariable(FolderSetting);

        var found = string.IsNullOrWhiteSpace(setting)
            ? await SearchAsync(cancellationToken)
            : [await ReadChosenAsync(setting, cancellationToken)];

        if (found.Count == 0)
        {
            throw PrivateClusterException.With(
                $"No PostgreSQL server ({OldestMajor} to {NewestMajor}) was found on this machine, so Caseload cannot keep its own database."
            );
        }

        if (wantedMajor is null)
        {
            return found.MaxBy(binaries => binaries.Major)!;
        }

        return found.FirstOrDefault(binaries => binaries.Major == wantedMajor) ?? throw RefuseOtherMajor(wantedMajor.Value, found);
    }

    private static PrivateClusterException RefuseOtherMajor(int wantedMajor, IEnumerable<PostgresBinaries> found)
    {
        var installed = string.Join(", ", found.Select(binaries => $"{binaries.Major} in {binaries.Folder}"));

        return PrivateClusterException.With(
            $"""
            The database in the data folder was made by PostgreSQL {wantedMajor}, but this machine has {installed}.
            A server of another major version cannot open it, and nothing was changed.
            Either install PostgreSQL {wantedMajor} beside the other one, or move the database to the new version:
            with pg_upgrade (needs both versions installed), or by a dump with pg_dump on a machine that has version {wantedMajor}
            and a restore with pg_restore into an empty data folder.
            """
        );
    }

    private static async Task<PostgresBinaries> ReadChosenAsync(string folder, CancellationToken cancellationToken)
    {
        var binaries = await ReadAsync(folder, cancellationToken);

        return binaries is { Major: >= OldestMajor and <= NewestMajor }
            ? binaries
            : throw PrivateClusterException.With(
                $"{FolderSetting} names the folder {folder}, which does not hold initdb, pg_ctl and postgres of version {OldestMajor} to {NewestMajor}."
            );
    }

    private static async Task<IReadOnlyList<PostgresBinaries>> SearchAsync(CancellationToken cancellationToken)
    {
        var found = new List<PostgresBinaries>();

        foreach (var folder in (await ListFoldersAsync(cancellationToken)).Distinct(StringComparer.Ordinal))
        {
            if (await ReadAsync(folder, cancellationToken) is { Major: >= OldestMajor and <= NewestMajor } binaries)
            {
                found.Add(binaries);
            }
        }

        return found;
    }

    private static async Task<IEnumerable<string>> ListFoldersAsync(CancellationToken cancellationToken)
    {
        var folders = new List<string>();

        var told = await Command.RunAsync("pg_config", ["--bindir"], Path.GetTempPath(), input: null, cancellationToken);
        if (told.Succeeded)
        {
            folders.Add(told.Output);
        }

        var path = Environment.GetEnvironmentVariable("PATH") ?? "";
        folders.AddRange(path.Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries));
        folders.AddRange(WellKnownFolders.SelectMany(ExpandStar));
        return folders;
    }

    private static IEnumerable<string> ExpandStar(string pattern)
    {
        var segments = pattern.Split('/');
        var star = Array.FindIndex(segments, segment => segment.Contains('*', StringComparison.Ordinal));
        if (star < 0)
        {
            return [pattern];
        }

        var parent = string.Join('/', segments[..star]);
        var rest = string.Join('/', segments[(star + 1)..]);

        return Directory.Exists(parent)
            ? Directory.EnumerateDirectories(parent, segments[star]).Select(folder => Path.Combine(folder, rest).TrimEnd('/'))
            : [];
    }

    private static async Task<PostgresBinaries?> ReadAsync(string folder, CancellationToken cancellationToken)
    {
        var server = Path.Combine(folder, "postgres");
        if (!File.Exists(server) || !File.Exists(Path.Combine(folder, "initdb")) || !File.Exists(Path.Combine(folder, "pg_ctl")))
        {
            return null;
        }

        var told = await Command.RunAsync(server, ["--version"], Path.GetTempPath(), input: null, cancellationToken);
        var major = VersionNumber().Match(told.Output);

        return told.Succeeded && major.Success
            ? new PostgresBinaries(folder, int.Parse(major.Groups["major"].ValueSpan, CultureInfo.InvariantCulture))
            : null;
    }

    [GeneratedRegex(@"\(PostgreSQL\) (?<major>\d{1,3})", RegexOptions.None, matchTimeoutMilliseconds: 1000)]
    private static partial Regex VersionNumber();
}
