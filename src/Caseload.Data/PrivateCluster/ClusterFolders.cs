namespace Caseload.Data.PrivateCluster;

internal sealed record ClusterFolders(string Data)
{
    public string Cluster => Path.Combine(Data, "postgres");

    public string UnfinishedCluster => Path.Combine(Data, "postgres.new");

    /// <summary>Socket and log; owned by the user that runs the server.</summary>
    public string Run => Path.Combine(Data, "run");

    public string Log => Path.Combine(Run, "postgres.log");

    public string PasswordFile => Path.Combine(Data, "database-passwords");

    public string PortFile => Path.Combine(Data, "postgres.port");

    public string StartLock => Path.Combine(Data, "postgres.lock");

    public string UsersLock => Path.Combine(Data, "postgres.users");

    public static ClusterFolders In(string dataFolder)
    {
        var full = Path.TrimEndingDirectorySeparator(Path.GetFullPath(dataFolder));

        // pg_ctl hands the path to a shell without escaping it.
        if (full.Any(character => char.IsControl(character) || "\"'`$\\,".Contains(character, StringComparison.Ordinal)))
        {
            throw PrivateClusterException.With(
                $"The data folder {full} has a quote, comma, dollar sign or backslash in its name, which PostgreSQL's tools cannot take. "
                    + "Choose another data folder with --data."
            );
        }

        return new ClusterFolders(full);
    }
}
