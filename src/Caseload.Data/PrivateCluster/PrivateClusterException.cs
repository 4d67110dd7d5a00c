namespace Caseload.Data.PrivateCluster;

/// <summary>An expected failure to provide the private cluster, with a message a person can act on.</summary>
public sealed class PrivateClusterException : Exception
{
    public PrivateClusterException() { }

    public PrivateClusterException(string message)
        : base(message) { }

    public PrivateClusterException(string message, Exception innerException)
        : base(message, innerException) { }

    private const string WaysOn = """
        Ways on, any one of which is enough:
          1. Install PostgreSQL 14 to 18 on this machine (Debian, Ubuntu: apt install postgresql) and start again.
             If it is installed in an unusual folder, set CASELOAD_PG_BIN to the folder with initdb and pg_ctl.
          2. Use a database of your own: set ConnectionStrings__Caseload to its connection string.
          3. Run everything in containers: docker compose up
        """;

    internal static PrivateClusterException With(string whatHappened, Exception? cause = null)
    {
        var message = $"{whatHappened}{Environment.NewLine}{Environment.NewLine}{WaysOn}";
        return cause is null ? new PrivateClusterException(message) : new PrivateClusterException(message, cause);
    }
}
