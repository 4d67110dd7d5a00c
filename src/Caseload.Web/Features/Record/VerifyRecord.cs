using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;

namespace Caseload.Web.Features.Record;

/// <summary>Checks that the access record was not altered.</summary>
/// <param name="Progress">Told how far it is.</param>
public sealed record VerifyRecord(IProgress<VerifyProgress> Progress);

/// <summary>How far the check is.</summary>
/// <param name="Count">Entries checked.</param>
/// <param name="Total">Entries the record should have.</param>
public sealed record VerifyProgress(long Count, long Total);

/// <summary>The outcome.</summary>
/// <param name="EntryCount">Entries found good.</param>
/// <param name="NewestHash">The hash of the last good one, to note elsewhere.</param>
/// <param name="Problem">What is wrong with the first broken entry; null when the record is intact.</param>
public sealed record VerifyOutcome(long EntryCount, string NewestHash, string? Problem);

/// <summary>Checks the programme's record on demand; the outcome stands in the record.</summary>
public sealed class VerifyRecordHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Checks.</summary>
    public async Task<VerifyOutcome> HandleAsync(Actor actor, VerifyRecord request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.VerifyAccessRecord, ct);
        var result = await AccessChain.VerifyAsync(context, new Relay(request.Progress), ct);
        RecordCheckJob.Record(context, result, time.GetUtcNow());
        await context.SaveChangesAsync(ct);
        return new VerifyOutcome(result.EntryCount, result.NewestHash, result.Broken?.InWords);
    }

    private sealed class Relay(IProgress<VerifyProgress> progress) : IProgress<AccessChainProgress>
    {
        public void Report(AccessChainProgress value) => progress.Report(new VerifyProgress(value.Count, value.Total));
    }
}
