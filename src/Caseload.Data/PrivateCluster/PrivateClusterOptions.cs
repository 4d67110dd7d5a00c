namespace Caseload.Data.PrivateCluster;

/// <param name="DataFolder">Holds the cluster, its passwords and its socket; created when missing.</param>
/// <param name="Durable">Whether a confirmed save survives a power cut. Only tests turn this off.</param>
/// <param name="BinariesFolder">The folder with <c>initdb</c> and <c>pg_ctl</c>; searched for when not given.</param>
public sealed record PrivateClusterOptions(
    string DataFolder,
    bool Durable = true,
    int MaxConnections = 100,
    string DatabaseName = "caseload",
    string? BinariesFolder = null
)
{
    /// <summary>How long a start may take, which includes recovery after a crash.</summary>
    public TimeSpan StartTimeout { get; init; } = TimeSpan.FromSeconds(60);
}
