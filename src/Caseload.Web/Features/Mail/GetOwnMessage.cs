using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform.Mail;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Mail;

/// <summary>Asks for a message to whoever asks.</summary>
/// <param name="Id">The message.</param>
public sealed record GetOwnMessage(Guid Id);

/// <summary>A message as it was sent.</summary>
/// <param name="Subject">The subject.</param>
/// <param name="Address">Where it went.</param>
/// <param name="WrittenAt">When it was written, in the programme's time zone.</param>
/// <param name="SentAt">When it was sent; null when it was not.</param>
/// <param name="Text">The plain text part.</param>
/// <param name="Html">The HTML part; null when there is only text.</param>
public sealed record OwnMessage(
    string Subject,
    string Address,
    DateTimeOffset WrittenAt,
    DateTimeOffset? SentAt,
    string Text,
    string? Html
);

/// <summary>Opens a person's own message. Nobody opens another's.</summary>
public sealed class GetOwnMessageHandler(CaseloadDb db, MailComposer composer, TimeProvider time)
{
    /// <summary>The message; null when there is none for this person.</summary>
    public async Task<OwnMessage?> HandleAsync(Actor actor, GetOwnMessage request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var row = await context
            .OutgoingMessages.AsNoTracking()
            .SingleOrDefaultAsync(message => message.Id == request.Id && message.PersonId == actor.PersonId, ct);
        if (row is null)
        {
            return null;
        }
        await context.RecordLookAsync("message-opened", null, time.GetUtcNow(), ct, new AccessDetail().With("message", row.Id));
        var content = composer.Read(row);
        return new OwnMessage(
            content.Subject,
            row.Address,
            TimeZoneInfo.ConvertTime(row.CreatedAt, actor.TimeZone),
            row.SentAt is { } sentAt ? TimeZoneInfo.ConvertTime(sentAt, actor.TimeZone) : null,
            content.Text,
            content.Html
        );
    }
}
