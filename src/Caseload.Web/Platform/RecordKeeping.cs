using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform;

/// <summary>Checks each programme's access record and removes from it what was kept for long enough; once a day, however often it is asked.</summary>
public sealed class RecordKeeping(CaseloadDb db, TimeProvider time, ILogger<RecordKeeping> logger)
{
    private const string Job = "record-check";

    // Less than a day, so that the hour of the check does not wander through the week.
    private static readonly TimeSpan _enough = TimeSpan.FromHours(20);

    /// <summary>Looks after every programme; a failure with one does not keep it from the next.</summary>
    public async Task RunAsync(CancellationToken ct)
    {
        foreach (var programme in await db.ListProgrammesAsync(ct))
        {
            try
            {
                await KeepAsync(programme.Id, ct);
            }
            catch (Exception failure) when (failure is not OperationCanceledException)
            {
                logger.LogError(failure, "The access record of programme {ProgrammeId} could not be checked", programme.Id);
            }
        }
    }

    private async Task KeepAsync(Guid programmeId, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob(Job, programmeId);
        var since = at - _enough;
        if (
            await context.AccessEntries.AnyAsync(
                entry =>
                    entry.PersonId == null
                    && entry.At > since
                    && entry.Who == Job
                    && (entry.What == "record-verified" || entry.What == "record-broken"),
                ct
            )
        )
        {
            return;
        }
        var result = await AccessChain.VerifyAsync(context, null, ct);
        if (result.Broken is { } broken)
        {
            // Nothing is removed from a record that somebody has to look into.
            logger.LogError(
                "The access record of programme {ProgrammeId} is broken after {Count} entries: {Fault}",
                programmeId,
                result.EntryCount,
                broken.InWords
            );
        }
        else
        {
            // The log lies outside the database: a hash in it shows later whether the record up to there was written anew.
            logger.LogInformation(
                "The access record of programme {ProgrammeId} is intact: {Count} entries up to {Number}, hash {Hash}",
                programmeId,
                result.EntryCount,
                result.NewestNumber,
                result.NewestHash
            );
            await TrimAsync(context, at, ct);
        }
        Record(context, result, at);
        await context.SaveChangesAsync(ct);
    }

    /// <summary>Adds the outcome of a check to the record itself.</summary>
    public static void Record(CaseloadDbContext context, AccessChainResult result, DateTimeOffset at)
    {
        var detail = new AccessDetail().With("entries", result.EntryCount).With("newest", result.NewestNumber);
        if (result.Broken is { } broken)
        {
            detail.With("fault", broken.Fault);
        }
        context.Record(result.IsIntact ? "record-verified" : "record-broken", null, at, detail);
    }

    private static async Task TrimAsync(CaseloadDbContext context, DateTimeOffset at, CancellationToken ct)
    {
        var removed = await RecordFunctions.TrimAccessRecordAsync(context, ct);
        if (removed > 0)
        {
            context.Record("record-trimmed", null, at, new AccessDetail().With("entries", removed));
        }
    }
}

/// <summary>Runs the record's upkeep while the host runs.</summary>
public sealed class NightlyRecordCheck(RecordKeeping keeping, TimeProvider time, ILogger<NightlyRecordCheck> logger) : BackgroundService
{
    // The upkeep itself knows whether a day has gone by; asking it often keeps a host that is restarted every day from never checking.
    private static readonly TimeSpan _interval = TimeSpan.FromMinutes(30);

    /// <inheritdoc />
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(_interval, time);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken))
            {
                await RunOnceAsync(stoppingToken);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // The host stops.
        }
    }

    private async Task RunOnceAsync(CancellationToken ct)
    {
        try
        {
            await keeping.RunAsync(ct);
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            logger.LogError(failure, "No access record could be checked");
        }
    }
}
