using Quartz;

namespace Caseload.Web.Platform.Jobs;

/// <summary>What the scheduler runs: it asks the job of its own name whether something is due. Two at once are harmless.</summary>
public sealed class AskJob(JobKeeper keeper) : IJob
{
    /// <inheritdoc />
    public async ValueTask Execute(IJobExecutionContext context, CancellationToken cancellationToken = default) =>
        await keeper.AskAsync(context.JobDetail.Key.Name, cancellationToken);
}
