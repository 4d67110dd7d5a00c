namespace Caseload.Web.Platform.Jobs;

/// <summary>Asks jobs that were nudged in this process; a long one does not keep the others waiting.</summary>
public sealed class NudgedJobs(JobSignal signal, JobKeeper keeper) : BackgroundService
{
    private const int MostAtOnce = 4;

    /// <inheritdoc />
    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        Parallel.ForEachAsync(
            signal.ReadAsync(stoppingToken),
            new ParallelOptions { MaxDegreeOfParallelism = MostAtOnce, CancellationToken = stoppingToken },
            async (name, ct) => await keeper.AskAsync(name, ct)
        );
}
