using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Mail;

/// <summary>Decides which process sends a message, and puts down what became of it. For a job's context.</summary>
/// <remarks>
/// A message is held for a while by whoever claimed it. Who does not come back in time loses it to the next one, and whatever it still wants
/// to put down, except that a message was sent, is not taken any more.
/// </remarks>
public static class MessageClaims
{
    /// <summary>Takes messages whose time has come and that nobody holds; an attempt is counted before it is made.</summary>
    /// <param name="context">A job's context.</param>
    /// <param name="node">Who takes them.</param>
    /// <param name="at">Now.</param>
    /// <param name="leaseUntil">Until when nobody else may.</param>
    /// <param name="count">How many at most.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>The messages, the longest waiting first.</returns>
    public static async Task<IReadOnlyList<OutgoingMessage>> TakeAsync(
        CaseloadDbContext context,
        string node,
        DateTimeOffset at,
        DateTimeOffset leaseUntil,
        int count,
        CancellationToken ct
    )
    {
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var messages = await context
            .OutgoingMessages.FromSql(
                $"""
                select * from outgoing_messages
                where programme_id = {context.ProgrammeId} and next_try_at <= {at} and (lease_until is null or lease_until <= {at})
                order by next_try_at, id limit {count} for update skip locked
                """
            )
            .ToListAsync(ct);
        foreach (var message in messages)
        {
            message.LeasedBy = node;
            message.LeaseUntil = leaseUntil;
            message.AttemptCount++;
        }
        await context.SaveChangesAsync(ct);
        await transaction.CommitAsync(ct);
        return [.. messages.OrderBy(message => message.NextTryAt).ThenBy(message => message.Id)];
    }

    /// <summary>Puts down that it was sent, also when the hold was lost meanwhile: who has it now need not send it again.</summary>
    public static Task MarkSentAsync(CaseloadDbContext context, Guid id, DateTimeOffset at, CancellationToken ct) =>
        context
            .OutgoingMessages.Where(row => row.Id == id && row.SentAt == null)
            .ExecuteUpdateAsync(
                set =>
                    set.SetProperty(row => row.SentAt, at)
                        .SetProperty(row => row.NextTryAt, (DateTimeOffset?)null)
                        .SetProperty(row => row.ParkedAt, (DateTimeOffset?)null)
                        .SetProperty(row => row.LastError, (string?)null)
                        .SetProperty(row => row.LeasedBy, (string?)null)
                        .SetProperty(row => row.LeaseUntil, (DateTimeOffset?)null),
                ct
            );

    /// <summary>Puts down why it was not sent, and when it is tried next.</summary>
    public static Task PostponeAsync(
        CaseloadDbContext context,
        OutgoingMessage message,
        DateTimeOffset nextTryAt,
        string why,
        CancellationToken ct
    ) =>
        Held(context, message)
            .ExecuteUpdateAsync(
                set =>
                    set.SetProperty(row => row.NextTryAt, nextTryAt)
                        .SetProperty(row => row.LastError, why)
                        .SetProperty(row => row.LeasedBy, (string?)null)
                        .SetProperty(row => row.LeaseUntil, (DateTimeOffset?)null),
                ct
            );

    /// <summary>Puts down why it will not be sent until somebody looked into it.</summary>
    public static Task ParkAsync(CaseloadDbContext context, OutgoingMessage message, DateTimeOffset at, string why, CancellationToken ct) =>
        Held(context, message)
            .ExecuteUpdateAsync(
                set =>
                    set.SetProperty(row => row.ParkedAt, at)
                        .SetProperty(row => row.NextTryAt, (DateTimeOffset?)null)
                        .SetProperty(row => row.LastError, why)
                        .SetProperty(row => row.LeasedBy, (string?)null)
                        .SetProperty(row => row.LeaseUntil, (DateTimeOffset?)null),
                ct
            );

    /// <summary>Gives it back untried, for whoever asks next; the attempt does not count.</summary>
    public static Task ReleaseAsync(CaseloadDbContext context, OutgoingMessage message, CancellationToken ct) =>
        Held(context, message)
            .ExecuteUpdateAsync(
                set =>
                    set.SetProperty(row => row.AttemptCount, row => row.AttemptCount - 1)
                        .SetProperty(row => row.LeasedBy, (string?)null)
                        .SetProperty(row => row.LeaseUntil, (DateTimeOffset?)null),
                ct
            );

    /// <summary>Takes out a message that nobody wants any more.</summary>
    public static Task WithdrawAsync(CaseloadDbContext context, OutgoingMessage message, CancellationToken ct) =>
        Held(context, message).ExecuteDeleteAsync(ct);

    /// <summary>Removes what was sent and written before a moment.</summary>
    public static Task<int> RemoveSentAsync(CaseloadDbContext context, DateTimeOffset before, CancellationToken ct) =>
        context.OutgoingMessages.Where(row => row.SentAt != null && row.CreatedAt < before).ExecuteDeleteAsync(ct);

    // The count of attempts tells a claim from a later one of the same process.
    private static IQueryable<OutgoingMessage> Held(CaseloadDbContext context, OutgoingMessage message) =>
        context.OutgoingMessages.Where(row =>
            row.Id == message.Id && row.LeasedBy == message.LeasedBy && row.AttemptCount == message.AttemptCount && row.SentAt == null
        );
}
