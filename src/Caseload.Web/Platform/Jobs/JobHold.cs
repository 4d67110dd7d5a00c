using Caseload.Data;
using Caseload.Data.Jobs;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Jobs;

/// <summary>A run that this process holds. Every write asks whether it still does, so a process that was away too long changes nothing.</summary>
public sealed class JobHold : IDisposable
{
    /// <summary>How long a run stays with a process that says nothing more.</summary>
    public static readonly TimeSpan Lease = TimeSpan.FromMinutes(2);

    // As long as a digest of four hundred days ago can be asked about, and no longer.
    private static readonly TimeSpan _kept = TimeSpan.FromDays(400);

    private static readonly TimeSpan _betweenReports = TimeSpan.FromSeconds(0.5);

    private readonly CancellationTokenSource _lost = new();
    private readonly CaseloadDb _db;
    private readonly TimeProvider _time;
    private readonly Guid _programmeId;
    private readonly string _job;
    private readonly string _period;
    private readonly int _attempt;
    private long? _reportedAt;

    private JobHold(CaseloadDb db, TimeProvider time, Guid programmeId, string job, string period, int attempt) =>
        (_db, _time, _programmeId, _job, _period, _attempt) = (db, time, programmeId, job, period, attempt);

    /// <summary>Which process this is.</summary>
    public static string Node { get; } = $"{Environment.MachineName}:{Environment.ProcessId}";

    /// <summary>Cancelled when another process has taken the run over.</summary>
    public CancellationToken Lost => _lost.Token;

    /// <summary>Takes a run; null when another process has it, or it is done.</summary>
    public static async Task<JobHold?> TakeAsync(
        CaseloadDb db,
        TimeProvider time,
        Guid programmeId,
        string job,
        string period,
        CancellationToken ct
    )
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob(job, programmeId);
        return await JobClaims.TakeAsync(context, job, period, Node, at, at + Lease, ct) is { } attempt
            ? new JobHold(db, time, programmeId, job, period, attempt)
            : null;
    }

    /// <summary>Keeps the run from others until cancelled; a job need not tell progress for that.</summary>
    public async Task KeepAsync(CancellationToken ct)
    {
        using var timer = new PeriodicTimer(Lease / 4, _time);
        while (await timer.WaitForNextTickAsync(ct))
        {
            try
            {
                await ProlongAsync(ct);
            }
            catch (Exception failure) when (DatabaseTrouble.IsBehind(failure))
            {
                // It may be back before the lease is over; if not, the next write finds the run taken over.
            }
        }
    }

    /// <summary>Tells how much is done.</summary>
    public async Task ReportAsync(int done, int? total, CancellationToken ct)
    {
        if (_reportedAt is { } reportedAt && done != total && _time.GetElapsedTime(reportedAt) < _betweenReports)
        {
            return;
        }
        _reportedAt = _time.GetTimestamp();
        var until = _time.GetUtcNow() + Lease;
        await WriteAsync(rows =>
            rows.ExecuteUpdateAsync(
                set =>
                    set.SetProperty(run => run.DoneCount, done)
                        .SetProperty(run => run.TotalCount, total)
                        .SetProperty(run => run.LeaseUntil, until),
                ct
            )
        );
        Lost.ThrowIfCancellationRequested();
    }

    /// <summary>Ends the run; a failed one is tried again after a while.</summary>
    public async Task FinishAsync(JobOutcome outcome, string result)
    {
        var at = _time.GetUtcNow();
        var until = outcome == JobOutcome.Done ? at : at + WaitAfter(_attempt);
        await WriteAsync(rows =>
            rows.ExecuteUpdateAsync(set =>
                set.SetProperty(run => run.FinishedAt, at)
                    .SetProperty(run => run.LeaseUntil, until)
                    .SetProperty(run => run.Outcome, outcome)
                    .SetProperty(run => run.Result, result)
            )
        );
        await using var context = _db.ForJob(_job, _programmeId);
        var keptSince = at - _kept;
        await context.JobRuns.Where(run => run.Job == _job && run.StartedAt < keptSince).ExecuteDeleteAsync();
    }

    /// <summary>Gives the run back undone, for whoever asks next; it does not count as an attempt.</summary>
    public Task ReleaseAsync()
    {
        var at = _time.GetUtcNow();
        return WriteAsync(rows =>
            rows.ExecuteUpdateAsync(set =>
                set.SetProperty(run => run.LeaseUntil, at).SetProperty(run => run.AttemptCount, run => run.AttemptCount - 1)
            )
        );
    }

    /// <inheritdoc />
    public void Dispose() => _lost.Dispose();

    /// <summary>How long after a failed attempt the next one may begin: a minute, then five, twenty-five, and two hours.</summary>
    private static TimeSpan WaitAfter(int attempt) => TimeSpan.FromMinutes(Math.Pow(5, attempt - 1));

    private Task ProlongAsync(CancellationToken ct)
    {
        var until = _time.GetUtcNow() + Lease;
        return WriteAsync(rows => rows.ExecuteUpdateAsync(set => set.SetProperty(run => run.LeaseUntil, until), ct));
    }

    private async Task WriteAsync(Func<IQueryable<JobRun>, Task<int>> write)
    {
        await using var context = _db.ForJob(_job, _programmeId);
        var rows = context.JobRuns.Where(run =>
            run.Job == _job && run.Period == _period && run.AttemptCount == _attempt && run.Node == Node && run.FinishedAt == null
        );
        if (await write(rows) == 0)
        {
            await _lost.CancelAsync();
        }
    }
}
