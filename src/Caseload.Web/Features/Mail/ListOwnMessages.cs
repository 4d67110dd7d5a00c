using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;
using Caseload.Web.Platform.Mail;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Mail;

/// <summary>Asks for the messages to whoever asks.</summary>
public sealed record ListOwnMessages;

/// <summary>Where a message stands.</summary>
public enum MessageState
{
    /// <summary>It waits to be sent.</summary>
    Waiting,

    /// <summary>It was sent.</summary>
    Sent,

    /// <summary>It could not be sent.</summary>
    Parked,
}

/// <summary>A message to the person.</summary>
/// <param name="Id">The message.</param>
/// <param name="Kind">What it is about.</param>
/// <param name="Subject">The subject.</param>
/// <param name="At">When it was sent, else written, in the programme's time zone.</param>
/// <param name="State">Where it stands.</param>
public sealed record OwnMessageRow(Guid Id, MessageKind Kind, string Subject, DateTimeOffset At, MessageState State);

/// <summary>A person's mail.</summary>
/// <param name="Address">Where it goes; null when the person has no address.</param>
/// <param name="WantsDigest">Whether the weekly digest comes by mail.</param>
/// <param name="Rows">The messages of the last 90 days, the newest first.</param>
public sealed record OwnMail(string? Address, bool WantsDigest, IReadOnlyList<OwnMessageRow> Rows);

/// <summary>Lists a person's own messages.</summary>
public sealed class ListOwnMessagesHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The messages.</summary>
    public async Task<OwnMail> HandleAsync(Actor actor, ListOwnMessages request, CancellationToken ct)
    {
        var since = time.GetUtcNow() - MailDispatchJob.Kept;
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var person = await context
            .People.Where(row => row.Id == actor.PersonId)
            .Select(row => new { row.Email, row.WantsDigestMail })
            .SingleAsync(ct);
        var rows = await context
            .OutgoingMessages.Where(row => row.PersonId == actor.PersonId && row.CreatedAt >= since)
            .OrderByDescending(row => row.CreatedAt)
            .ThenByDescending(row => row.Id)
            .Select(row => new OwnMessageRow(
                row.Id,
                row.Kind,
                row.Subject,
                row.SentAt ?? row.CreatedAt,
                row.SentAt != null ? MessageState.Sent
                    : row.ParkedAt != null ? MessageState.Parked
                    : MessageState.Waiting
            ))
            .ToListAsync(ct);
        return new OwnMail(
            person.Email,
            person.WantsDigestMail,
            [.. rows.Select(row => row with { At = TimeZoneInfo.ConvertTime(row.At, actor.TimeZone) })]
        );
    }
}
