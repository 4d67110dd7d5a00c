using Caseload.Data;
using Caseload.Data.Mail;
using Caseload.Web.Platform.Jobs;

namespace Caseload.Web.Platform.Mail;

/// <summary>Sends messages as they are written, and removes old ones.</summary>
public sealed class MailDispatchJob(OutboxDispatcher dispatcher, MailFolder folder, CaseloadDb db, TimeProvider time) : ContinuousJob
{
    /// <summary>What it is called, for whoever nudges it.</summary>
    public const string JobName = "mail";

    /// <summary>How long a message is kept after it was written.</summary>
    public static readonly TimeSpan Kept = TimeSpan.FromDays(90);

    /// <inheritdoc />
    public override string Name => JobName;

    /// <inheritdoc />
    public override string Title => "Mail";

    /// <inheritdoc />
    public override string Purpose =>
        "Sends messages as they are written, tries again what could not be sent, and removes what was sent 90 days ago.";

    /// <inheritdoc />
    public override TimeSpan AskedEvery => TimeSpan.FromMinutes(1);

    /// <inheritdoc />
    public override async Task<string?> RunAsync(ProgrammeRow programme, CancellationToken ct)
    {
        var counts = await dispatcher.RunAsync(programme.Id, ct);
        var before = time.GetUtcNow() - Kept;
        await using var context = db.ForJob(Name, programme.Id);
        await MessageClaims.RemoveSentAsync(context, before, ct);
        folder.RemoveOld(before);
        return counts.InWords;
    }
}
