using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;

namespace Caseload.Web.Platform.Jobs;

/// <summary>Checks a programme's access record every night and removes from it what was kept for long enough.</summary>
public sealed class RecordCheckJob(CaseloadDb db, TimeProvider time, ILogger<RecordCheckJob> logger) : ProgrammeJob
{
    private static readonly TimeOnly _hour = new(2, 0);

    /// <inheritdoc />
    public override string Name => "record-check";

    /// <inheritdoc />
    public override string Title => "Access record check";

    /// <inheritdoc />
    public override string Purpose =>
        "Checks every night that the access record was not altered, and removes entries kept for long enough.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(10);

    /// <inheritdoc />
    public override string? DuePeriod(ProgrammeRow programme, DateTimeOffset at) =>
        ProgrammeClock.LastOn(programme, _hour, at).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <inheritdoc />
    public override DateTimeOffset NextDueAt(ProgrammeRow programme, DateTimeOffset at) =>
        ProgrammeClock.At(programme, ProgrammeClock.LastOn(programme, _hour, at).AddDays(1), _hour);

    /// <inheritdoc />
    public override async Task<string> RunAsync(JobProgress run, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob(Name, run.Programme.Id);
        var result = await AccessChain.VerifyAsync(context, null, ct);
        var removed = 0L;
        if (result.Broken is { } broken)
        {
            // Nothing is removed from a record that somebody has to look into.
            logger.LogError(
                "The access record of programme {ProgrammeId} is broken after {Count} entries: {Fault}",
                run.Programme.Id,
                result.EntryCount,
                broken.InWords
            );
        }
        else
        {
            // The log lies outside the database: a hash in it shows later whether the record up to there was written anew.
            logger.LogInformation(
                "The access record of programme {ProgrammeId} is intact: {Count} entries up to {Number}, hash {Hash}",
                run.Programme.Id,
                result.EntryCount,
                result.NewestNumber,
                result.NewestHash
            );
            removed = await TrimAsync(context, at, ct);
        }
        Record(context, result, at);
        await context.SaveChangesAsync(ct);
        return WordsOf(result, removed);
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

    private static async Task<long> TrimAsync(CaseloadDbContext context, DateTimeOffset at, CancellationToken ct)
    {
        var removed = await RecordFunctions.TrimAccessRecordAsync(context, ct);
        if (removed > 0)
        {
            context.Record("record-trimmed", null, at, new AccessDetail().With("entries", removed));
        }
        return removed;
    }

    private static string WordsOf(AccessChainResult result, long removed) =>
        result.Broken is { } broken ? $"The record was altered. {broken.InWords}"
        : removed == 0 ? string.Create(CultureInfo.InvariantCulture, $"Intact: {result.EntryCount:N0} entries checked.")
        : string.Create(CultureInfo.InvariantCulture, $"Intact: {result.EntryCount:N0} entries checked, {removed:N0} old ones removed.");
}
