using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Jobs;

/// <summary>Decides which process does a period: the key of the run is there once, whoever else tries at the same moment.</summary>
public static class JobClaims
{
    /// <summary>How often a run is begun before it is given up.</summary>
    public const int MostAttempts = 5;

    /// <summary>Takes a run that nobody has, or that somebody has left undone.</summary>
    /// <param name="context">A job's context.</param>
    /// <param name="job">The job.</param>
    /// <param name="period">The period.</param>
    /// <param name="node">Who takes it.</param>
    /// <param name="at">Now.</param>
    /// <param name="leaseUntil">Until when nobody else may.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>Which attempt it is; null when it is done, held or given up, or when another period of the job is being done.</returns>
    public static async Task<int?> TakeAsync(
        CaseloadDbContext context,
        string job,
        string period,
        string node,
        DateTimeOffset at,
        DateTimeOffset leaseUntil,
        CancellationToken ct
    )
    {
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        // Two periods of one job have different keys, and must not be begun at the same moment all the same.
        await context.Database.ExecuteSqlAsync(
            $"select pg_advisory_xact_lock(hashtextextended('job ' || {job} || ' ' || {context.ProgrammeId.ToString()}, 0))",
            ct
        );
        var attempts = await context
            .Database.SqlQuery<int>(
                $"""
                insert into job_runs as run (programme_id, job, period, node, started_at, lease_until, attempt_count, done_count)
                select {context.ProgrammeId}, {job}, {period}, {node}, {at}, {leaseUntil}, 1, 0
                where not exists (
                    select from job_runs as other where other.programme_id = {context.ProgrammeId} and other.job = {job}
                    and other.period <> {period} and other.finished_at is null and other.lease_until > {at})
                on conflict (programme_id, job, period) do update set
                    node = excluded.node, started_at = excluded.started_at, lease_until = excluded.lease_until,
                    attempt_count = run.attempt_count + 1, done_count = 0, total_count = null,
                    finished_at = null, outcome = null, result = null
                where run.outcome is distinct from 'done' and run.lease_until <= {at} and run.attempt_count < {MostAttempts}
                returning attempt_count as "value"
                """
            )
            .ToListAsync(ct);
        await transaction.CommitAsync(ct);
        return attempts.Count == 0 ? null : attempts[0];
    }

    /// <summary>Puts down a run that the next process to ask takes; false when the key is there already.</summary>
    public static async Task<bool> RequestAsync(
        CaseloadDbContext context,
        string job,
        string period,
        DateTimeOffset at,
        CancellationToken ct
    ) =>
        await context.Database.ExecuteSqlAsync(
            $"""
            insert into job_runs (programme_id, job, period, node, started_at, lease_until, attempt_count, done_count)
            values ({context.ProgrammeId}, {job}, {period}, '', {at}, {at}, 0, 0)
            on conflict do nothing
            """,
            ct
        ) == 1;

    /// <summary>Notes how a job without periods went; there is one row of it, and it counts failures in a row.</summary>
    public static Task NoteAsync(CaseloadDbContext context, JobRun run, CancellationToken ct) =>
        context.Database.ExecuteSqlAsync(
            $"""
            insert into job_runs as run (programme_id, job, period, node, started_at, lease_until, attempt_count, done_count,
                finished_at, outcome, result)
            values ({context.ProgrammeId}, {run.Job}, {run.Period}, {run.Node}, {run.StartedAt}, {run.LeaseUntil}, 1, 0,
                {run.FinishedAt}, {run.Outcome!.Value.ToWord()}, {run.Result})
            on conflict (programme_id, job, period) do update set
                node = excluded.node, started_at = excluded.started_at, lease_until = excluded.lease_until,
                attempt_count = case when run.outcome = 'failed' and excluded.outcome = 'failed' then run.attempt_count + 1 else 1 end,
                finished_at = excluded.finished_at, outcome = excluded.outcome, result = excluded.result
            """,
            ct
        );
}
