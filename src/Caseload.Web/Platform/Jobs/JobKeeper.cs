using Caseload.Data;
using Caseload.Data.Jobs;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Does what jobs say is due, for each programme, and keeps what came of it. One per process; the database decides between processes.</summary>
public sealed class JobKeeper(CaseloadDb db, JobList jobs, FailureLog failures, TimeProvider time, ILogger<JobKeeper> logger)
{
    /// <summary>The period of the one row that is kept of a job without periods.</summary>
    public const string Latest = "latest";

    /// <summary>Stands in a run's period between the job's own word and the moment somebody asked for it again.</summary>
    public const string Again = " again at ";

    // Longer ago, nobody waits for it any more.
    private static readonly TimeSpan _stillWanted = TimeSpan.FromDays(30);

    /// <summary>Asks a job; a failure with one programme does not keep it from the next. A name that this version does not know is passed over.</summary>
    public async Task AskAsync(string name, CancellationToken ct)
    {
        try
        {
            foreach (var programme in await db.ListProgrammesAsync(ct))
            {
                await AskAsync(name, programme, ct);
            }
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            logger.LogError(failure, "Job {Job} could not be asked", name);
        }
    }

    /// <summary>Puts down that a job is to be done now, by whichever process asks it next.</summary>
    /// <returns>False when it runs or waits already, or there is no period yet to do it for.</returns>
    public async Task<bool> RequestAsync(ProgrammeJob job, ProgrammeRow programme, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        if (job.DuePeriod(programme, at) is not { } due)
        {
            return false;
        }
        await using var context = db.ForJob(job.Name, programme.Id);
        var isUnderWay = await context.JobRuns.AnyAsync(
            run => run.Job == job.Name && run.FinishedAt == null && (run.LeaseUntil > at || run.AttemptCount < JobClaims.MostAttempts),
            ct
        );
        return !isUnderWay
            && (
                await JobClaims.RequestAsync(context, job.Name, due, at, ct)
                || await JobClaims.RequestAsync(
                    context,
                    job.Name,
                    FormattableString.Invariant($"{due}{Again}{at:yyyy-MM-dd HH:mm:ss}"),
                    at,
                    ct
                )
            );
    }

    private async Task AskAsync(string name, ProgrammeRow programme, CancellationToken ct)
    {
        try
        {
            if (jobs.Periodic.SingleOrDefault(job => job.Name == name) is { } periodic)
            {
                await DoDueAsync(periodic, programme, ct);
            }
            else if (jobs.Continuous.SingleOrDefault(job => job.Name == name) is { } continuous)
            {
                await LookAsync(continuous, programme, ct);
            }
        }
        catch (Exception failure) when (failure is not OperationCanceledException || !ct.IsCancellationRequested)
        {
            logger.LogError(failure, "Job {Job} could not be asked for programme {ProgrammeId}", name, programme.Id);
        }
    }

    private async Task DoDueAsync(ProgrammeJob job, ProgrammeRow programme, CancellationToken ct)
    {
        foreach (var period in await ListOpenAsync(job, programme, ct))
        {
            using var hold = await JobHold.TakeAsync(db, time, programme.Id, job.Name, period, ct);
            if (hold is not null)
            {
                await DoAsync(job, programme, period, hold, ct);
            }
        }
    }

    /// <summary>The period that is due, unless it was begun, and those that were begun or asked for and that nobody holds.</summary>
    private async Task<IReadOnlyList<string>> ListOpenAsync(ProgrammeJob job, ProgrammeRow programme, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        var since = at - _stillWanted;
        var due = job.DuePeriod(programme, at);
        await using var context = db.ForJob(job.Name, programme.Id);
        var open = await context
            .JobRuns.Where(run =>
                run.Job == job.Name
                && run.Outcome != JobOutcome.Done
                && run.LeaseUntil <= at
                && run.AttemptCount < JobClaims.MostAttempts
                && run.StartedAt > since
            )
            .OrderBy(run => run.StartedAt)
            .Select(run => run.Period)
            .ToListAsync(ct);
        if (due is not null && !open.Contains(due) && !await context.JobRuns.AnyAsync(run => run.Job == job.Name && run.Period == due, ct))
        {
            open.Add(due);
        }
        return open;
    }

    private async Task DoAsync(ProgrammeJob job, ProgrammeRow programme, string period, JobHold hold, CancellationToken ct)
    {
        var began = time.GetTimestamp();
        logger.LogInformation("Job {Job} of programme {ProgrammeId} begins period {Period}", job.Name, programme.Id, period);
        using var running = CancellationTokenSource.CreateLinkedTokenSource(ct, hold.Lost);
        var keeping = hold.KeepAsync(running.Token);
        try
        {
            var result = await job.RunAsync(new JobProgress(programme, period.Split(Again)[0], hold.ReportAsync), running.Token);
            await hold.FinishAsync(JobOutcome.Done, result);
            hold.Lost.ThrowIfCancellationRequested();
            logger.LogInformation(
                "Job {Job} of programme {ProgrammeId} did period {Period} in {Seconds:0.0} seconds",
                job.Name,
                programme.Id,
                period,
                time.GetElapsedTime(began).TotalSeconds
            );
        }
        catch (OperationCanceledException) when (hold.Lost.IsCancellationRequested)
        {
            logger.LogWarning(
                "Job {Job} of programme {ProgrammeId} lost period {Period} to another process",
                job.Name,
                programme.Id,
                period
            );
        }
        catch (OperationCanceledException) when (ct.IsCancellationRequested)
        {
            await hold.ReleaseAsync();
            throw;
        }
        catch (Exception failure)
        {
            await hold.FinishAsync(JobOutcome.Failed, WordsOf(failure, job.Name));
        }
        finally
        {
            await running.CancelAsync();
            await keeping.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task LookAsync(ContinuousJob job, ProgrammeRow programme, CancellationToken ct)
    {
        var startedAt = time.GetUtcNow();
        string? result;
        var outcome = JobOutcome.Done;
        try
        {
            result = await job.RunAsync(programme, ct);
        }
        catch (Exception failure) when (failure is not OperationCanceledException || !ct.IsCancellationRequested)
        {
            (result, outcome) = (WordsOf(failure, job.Name), JobOutcome.Failed);
        }
        await using var context = db.ForJob(job.Name, programme.Id);
        // That nothing waited is worth a word only after a failure.
        if (result is null && !await context.JobRuns.AnyAsync(run => run.Job == job.Name && run.Outcome == JobOutcome.Failed, ct))
        {
            return;
        }
        var finishedAt = time.GetUtcNow();
        var run = new JobRun
        {
            ProgrammeId = programme.Id,
            Job = job.Name,
            Period = Latest,
            Node = JobHold.Node,
            StartedAt = startedAt,
            LeaseUntil = finishedAt,
            AttemptCount = 1,
            FinishedAt = finishedAt,
            Outcome = outcome,
            Result = result ?? "Nothing waited.",
        };
        await JobClaims.NoteAsync(context, run, ct);
    }

    private string WordsOf(Exception failure, string job) =>
        (DatabaseTrouble.IsBehind(failure) ? "The database did not answer. " : "It could not go on. ")
        + $"Number for support: {failures.Record(failure, job)}";
}
