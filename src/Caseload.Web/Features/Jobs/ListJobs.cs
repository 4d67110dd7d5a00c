using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Jobs;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Jobs;

/// <summary>Asks how the programme's jobs are doing.</summary>
public sealed record ListJobs;

/// <summary>Where a run stands.</summary>
public enum RunState
{
    /// <summary>Asked for, and not begun yet.</summary>
    Waiting,

    /// <summary>A process is at it.</summary>
    Running,

    /// <summary>Its process ended in the middle; another takes it over.</summary>
    BrokenOff,

    /// <summary>Done.</summary>
    Done,

    /// <summary>Failed, and tried again.</summary>
    Failed,

    /// <summary>Begun too often without an end.</summary>
    GivenUp,
}

/// <summary>A run, in the programme's time.</summary>
/// <param name="Period">The period; null for a job without periods.</param>
/// <param name="State">Where it stands.</param>
/// <param name="Node">The process that did it or is at it.</param>
/// <param name="StartedAt">When the last attempt began.</param>
/// <param name="Took">How long it took; null while it has not ended.</param>
/// <param name="AttemptCount">How often it was begun; for a job without periods, how often in a row it failed.</param>
/// <param name="DoneCount">How much is done.</param>
/// <param name="TotalCount">Of how much, when that is known.</param>
/// <param name="AgainAt">When it is tried again at the earliest.</param>
/// <param name="Result">What came of it.</param>
public sealed record RunRow(
    string? Period,
    RunState State,
    string Node,
    DateTimeOffset StartedAt,
    TimeSpan? Took,
    int AttemptCount,
    int DoneCount,
    int? TotalCount,
    DateTimeOffset? AgainAt,
    string? Result
);

/// <summary>A job with its last runs.</summary>
/// <param name="Name">Its word.</param>
/// <param name="Title">What it is called.</param>
/// <param name="Purpose">What it does.</param>
/// <param name="AskedEvery">How often it is asked.</param>
/// <param name="NextAt">When its next period becomes due, in the programme's time; null for a job without periods.</param>
/// <param name="Runs">The newest first.</param>
public sealed record JobRow(
    string Name,
    string Title,
    string Purpose,
    TimeSpan AskedEvery,
    DateTimeOffset? NextAt,
    IReadOnlyList<RunRow> Runs
)
{
    /// <summary>Whether something is under way or will be within moments.</summary>
    public bool IsUnderWay => Runs.Any(run => run.State is RunState.Waiting or RunState.Running);
}

/// <summary>Lists jobs.</summary>
public sealed class ListJobsHandler(CaseloadDb db, JobList jobs, TimeProvider time)
{
    private const int MostRuns = 30;

    /// <summary>The jobs, those with periods first.</summary>
    public async Task<IReadOnlyList<JobRow>> HandleAsync(Actor actor, ListJobs request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        var programme = await context
            .Programmes.AsNoTracking()
            .Select(row => new ProgrammeRow(row.Id, row.Name, row.TimeZoneId, row.AlertPolicy))
            .SingleAsync(ct);
        var names = jobs.Asked.Select(job => job.Name).ToList();
        var runs = await context
            .JobRuns.Select(run => run.Job)
            .Where(name => names.Contains(name))
            .Distinct()
            .SelectMany(name => context.JobRuns.Where(run => run.Job == name).OrderByDescending(run => run.StartedAt).Take(MostRuns))
            .AsNoTracking()
            .ToListAsync(ct);

        var periodic = jobs.Periodic.Select(job => new JobRow(
            job.Name,
            job.Title,
            job.Purpose,
            job.AskedEvery,
            ProgrammeDays.In(job.NextDueAt(programme, at), actor.TimeZone),
            RunsOf(job.Name)
        ));
        var continuous = jobs.Continuous.Select(job => new JobRow(
            job.Name,
            job.Title,
            job.Purpose,
            job.AskedEvery,
            null,
            RunsOf(job.Name)
        ));
        return [.. periodic, .. continuous];

        IReadOnlyList<RunRow> RunsOf(string name) =>
            [.. runs.Where(run => run.Job == name).OrderByDescending(run => run.StartedAt).Select(run => RowOf(run, at, actor.TimeZone))];
    }

    private static RunRow RowOf(JobRun run, DateTimeOffset at, TimeZoneInfo zone)
    {
        var isContinuous = run.Period == JobKeeper.Latest;
        var state = StateOf(run, at, isContinuous);
        return new RunRow(
            isContinuous ? null
                : run.Period.Split(JobKeeper.Again) is [var period, _] ? period + ", again"
                : run.Period,
            state,
            run.Node,
            ProgrammeDays.In(run.StartedAt, zone),
            run.FinishedAt - run.StartedAt,
            run.AttemptCount,
            run.DoneCount,
            run.TotalCount,
            state == RunState.Failed && !isContinuous ? ProgrammeDays.In(run.LeaseUntil, zone) : null,
            run.Result
        );
    }

    private static RunState StateOf(JobRun run, DateTimeOffset at, bool isContinuous) =>
        run switch
        {
            { Outcome: JobOutcome.Done } => RunState.Done,
            { Outcome: JobOutcome.Failed } when isContinuous => RunState.Failed,
            _ when run.FinishedAt is null && run.LeaseUntil > at => RunState.Running,
            { AttemptCount: 0 } => RunState.Waiting,
            { AttemptCount: >= JobClaims.MostAttempts } => RunState.GivenUp,
            { Outcome: JobOutcome.Failed } => RunState.Failed,
            _ => RunState.BrokenOff,
        };
}
