using System.Globalization;
using Caseload.Data;
using Caseload.Data.Mail;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Mail;

/// <summary>What came of a look into the outbox.</summary>
/// <param name="Sent">How many messages were sent.</param>
/// <param name="Postponed">How many are tried again later.</param>
/// <param name="Parked">How many wait for the administrator.</param>
public sealed record DispatchCounts(int Sent, int Postponed, int Parked)
{
    /// <summary>In words; null when nothing waited.</summary>
    public string? InWords =>
        Sent + Postponed + Parked == 0
            ? null
            : string.Join(
                ", ",
                new[] { Words(Sent, "sent"), Words(Postponed, "to be tried again"), Words(Parked, "parked") }.Where(words =>
                    words is not null
                )
            ) + ".";

    private static string? Words(int count, string what) =>
        count == 0 ? null : string.Create(CultureInfo.InvariantCulture, $"{count:N0} {what}");
}

/// <summary>Sends the messages that wait in a programme's outbox. Any number may be at work at once, in any number of processes.</summary>
/// <remarks>
/// A message is marked as sent after it was taken. A process that ends between the two leaves it to be sent once more when the hold is over, under
/// the same Message-ID; none is lost.
/// </remarks>
public sealed class OutboxDispatcher(
    CaseloadDb db,
    IMailTransport transport,
    MailComposer composer,
    TimeProvider time,
    ILogger<OutboxDispatcher> logger
)
{
    /// <summary>How long a message stays with a process that says nothing more; longer than a batch takes when every answer is slow.</summary>
    public static readonly TimeSpan Lease = TimeSpan.FromMinutes(10);

    /// <summary>How many messages are claimed at once.</summary>
    public const int BatchSize = 10;

    private const string Job = "mail";

    /// <summary>Sends what waits, batch after batch, until nothing does or nothing can be sent.</summary>
    public async Task<DispatchCounts> RunAsync(Guid programmeId, CancellationToken ct)
    {
        var counts = new DispatchCounts(0, 0, 0);
        IReadOnlyList<OutgoingMessage> batch;
        bool goesOn;
        do
        {
            batch = await TakeAsync(programmeId, ct);
            (counts, goesOn) = batch.Count == 0 ? (counts, false) : await SendAsync(batch, counts, ct);
        } while (goesOn && batch.Count == BatchSize);
        return counts;
    }

    private async Task<IReadOnlyList<OutgoingMessage>> TakeAsync(Guid programmeId, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob(Job, programmeId);
        return await MessageClaims.TakeAsync(context, JobHold.Node, at, at + Lease, BatchSize, ct);
    }

    private async Task<(DispatchCounts Counts, bool GoesOn)> SendAsync(
        IReadOnlyList<OutgoingMessage> batch,
        DispatchCounts counts,
        CancellationToken ct
    )
    {
        IMailHandover handover;
        try
        {
            handover = await transport.OpenAsync(ct);
        }
        catch (MailTroubleException trouble)
        {
            foreach (var message in batch)
            {
                counts = await SettleAsync(message, new SendAnswer(SendVerdict.Broken, trouble.Message), counts);
            }
            return (counts, false);
        }
        catch (OperationCanceledException)
        {
            await ReleaseAsync(batch);
            throw;
        }
        await using (handover)
        {
            for (var index = 0; index < batch.Count; index++)
            {
                if (ct.IsCancellationRequested)
                {
                    await ReleaseAsync(batch.Skip(index));
                    ct.ThrowIfCancellationRequested();
                }
                var answer = await SendAsync(handover, batch[index], ct);
                counts = answer is null ? counts : await SettleAsync(batch[index], answer, counts);
                if (answer?.Verdict == SendVerdict.Broken)
                {
                    await ReleaseAsync(batch.Skip(index + 1));
                    return (counts, false);
                }
            }
        }
        return (counts, true);
    }

    /// <summary>Hands a message over; null when it was taken out because its recipient does not want it any more.</summary>
    private async Task<SendAnswer?> SendAsync(IMailHandover handover, OutgoingMessage message, CancellationToken ct)
    {
        await using (var context = db.ForJob(Job, message.ProgrammeId))
        {
            var recipient = await context
                .People.Where(person => person.Id == message.PersonId)
                .Select(person => new { person.DisabledAt, person.WantsDigestMail })
                .SingleAsync(CancellationToken.None);
            if (recipient.DisabledAt is not null)
            {
                return new SendAnswer(SendVerdict.Refused, "Its recipient was disabled before it was sent.");
            }
            if (message is { IsOptional: true, Kind: MessageKind.Digest } && !recipient.WantsDigestMail)
            {
                await MessageClaims.WithdrawAsync(context, message, CancellationToken.None);
                return null;
            }
        }
        try
        {
            return composer.Compose(message) is { } composed
                ? await handover.SendAsync(composed, ct)
                : new SendAnswer(SendVerdict.Refused, "Its address is none that mail can go to.");
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            // A message that nobody thought of must not keep those behind it waiting.
            logger.LogError(failure, "Message {MessageId} of programme {ProgrammeId} could not be sent", message.Id, message.ProgrammeId);
            return new SendAnswer(SendVerdict.NotNow, "Caseload could not put it together. The log says more.");
        }
    }

    // What became of a message is put down even when the program is told to stop: otherwise it would be sent twice.
    private async Task<DispatchCounts> SettleAsync(OutgoingMessage message, SendAnswer answer, DispatchCounts counts)
    {
        var at = time.GetUtcNow();
        await using var context = db.ForJob(Job, message.ProgrammeId);
        if (answer.Verdict == SendVerdict.Taken)
        {
            await MessageClaims.MarkSentAsync(context, message.Id, at, CancellationToken.None);
            return counts with { Sent = counts.Sent + 1 };
        }
        if (answer.Verdict != SendVerdict.Refused && RetryRule.IsTriedAgain(message.Kind, message.AttemptCount))
        {
            var next = at + RetryRule.WaitAfter(message.AttemptCount);
            await MessageClaims.PostponeAsync(context, message, next, answer.Why, CancellationToken.None);
            return counts with { Postponed = counts.Postponed + 1 };
        }
        await MessageClaims.ParkAsync(context, message, at, answer.Why, CancellationToken.None);
        logger.LogWarning(
            "Message {MessageId} of programme {ProgrammeId} is parked after {Attempts} attempts",
            message.Id,
            message.ProgrammeId,
            message.AttemptCount
        );
        return counts with { Parked = counts.Parked + 1 };
    }

    private async Task ReleaseAsync(IEnumerable<OutgoingMessage> messages)
    {
        foreach (var message in messages)
        {
            await using var context = db.ForJob(Job, message.ProgrammeId);
            await MessageClaims.ReleaseAsync(context, message, CancellationToken.None);
        }
    }
}
