using Quartz;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Runs the scheduler while the host runs. It begins after the host, which does not wait for it, and tries again while the database is away.</summary>
public sealed class JobScheduler(
    [FromKeyedServices(JobScheduler.Name)] ISchedulerFactory factory,
    JobList jobs,
    IHostApplicationLifetime host,
    TimeProvider time,
    ILogger<JobScheduler> logger
) : BackgroundService
{
    /// <summary>What the processes of an installation call it.</summary>
    public const string Name = "caseload";

    private static readonly TimeSpan _again = TimeSpan.FromSeconds(10);

    private IScheduler? _scheduler;

    /// <inheritdoc />
    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        if (_scheduler is { } scheduler)
        {
            // Runs are told to stop, and give back what they have not done.
            await scheduler.Shutdown(waitForJobsToComplete: true, cancellationToken);
        }
    }

    /// <inheritdoc />
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await Task.Delay(Timeout.InfiniteTimeSpan, time, host.ApplicationStarted)
                .ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            while (!await TryStartAsync(stoppingToken))
            {
                await Task.Delay(_again, time, stoppingToken);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // The host stops before the scheduler has begun.
        }
    }

    private async Task<bool> TryStartAsync(CancellationToken ct)
    {
        try
        {
            _scheduler = await factory.GetScheduler(ct);
            await _scheduler.ScheduleJobs(jobs.Asked.ToDictionary(JobOf, TriggersOf), new ScheduleJobOptions { Replace = true }, ct);
            await _scheduler.Start(ct);
            return true;
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            logger.LogError(failure, "The scheduler could not begin; it tries again in {Seconds} seconds", _again.TotalSeconds);
            return false;
        }
    }

    private static IJobDetail JobOf((string Name, TimeSpan AskedEvery) asked) =>
        JobBuilder.Create<AskJob>().WithIdentity(asked.Name).Build();

    // A trigger that begins now replaces the one that was there: a process that starts asks every job at once.
    private static IReadOnlyCollection<ITrigger> TriggersOf((string Name, TimeSpan AskedEvery) asked) =>
        [
            TriggerBuilder
                .Create()
                .WithIdentity(asked.Name)
                .StartNow()
                .WithSimpleSchedule(schedule =>
                    schedule.WithInterval(asked.AskedEvery).RepeatForever().WithMisfireInstruction(SimpleTriggerMisfireInstruction.FireNow)
                )
                .Build(),
        ];
}
