using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;
using Caseload.Web.Platform.Mail;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Mail;

/// <summary>Asks how mail is sent and what became of it.</summary>
public sealed record GetMail;

/// <summary>How mail is sent.</summary>
/// <param name="Server">The mail server and its port; null when messages are written to files.</param>
/// <param name="Security">How the connection is protected.</param>
/// <param name="Sender">Whom messages come from.</param>
/// <param name="ReplyTo">Where answers go; null for the sender.</param>
/// <param name="Folder">Where files are written.</param>
/// <param name="FileCount">How many files are there.</param>
public sealed record MailWay(string? Server, string Security, string Sender, string? ReplyTo, string Folder, int FileCount);

/// <summary>A message in a list; what it says stays with its recipient.</summary>
/// <param name="Id">The message.</param>
/// <param name="Kind">What it is about.</param>
/// <param name="Recipient">Whom it goes to.</param>
/// <param name="WrittenAt">When it was written, in the programme's time zone.</param>
/// <param name="Attempts">How often it was tried.</param>
/// <param name="At">When it is tried next, or was sent or parked.</param>
/// <param name="Reason">Why it was not sent.</param>
/// <param name="Text">What it says, of tests only.</param>
public sealed record MessageRow(
    Guid Id,
    MessageKind Kind,
    string Recipient,
    DateTimeOffset WrittenAt,
    int Attempts,
    DateTimeOffset At,
    string? Reason,
    string? Text
);

/// <summary>How mail is sent and what became of it.</summary>
/// <param name="Way">How it is sent.</param>
/// <param name="OwnAddress">The address of whoever asks.</param>
/// <param name="WaitingCount">How many messages wait.</param>
/// <param name="ParkedCount">How many could not be sent.</param>
/// <param name="SentCount">How many of those that are kept were sent.</param>
/// <param name="Waiting">The next ones to be tried.</param>
/// <param name="Parked">Those that could not be sent, the newest first.</param>
/// <param name="Sent">Those sent last, the newest first.</param>
public sealed record MailOverview(
    MailWay Way,
    string? OwnAddress,
    int WaitingCount,
    int ParkedCount,
    int SentCount,
    IReadOnlyList<MessageRow> Waiting,
    IReadOnlyList<MessageRow> Parked,
    IReadOnlyList<MessageRow> Sent
);

/// <summary>Tells an administrator about mail, without what messages about children say.</summary>
public sealed class GetMailHandler(CaseloadDb db, MailSettings settings, MailFolder folder)
{
    private const int Shown = 25;

    /// <summary>How it is.</summary>
    public async Task<MailOverview> HandleAsync(Actor actor, GetMail request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        var own = await context
            .People.Where(person => person.Id == actor.PersonId)
            .Select(person => new
            {
                person.Email,
                Waiting = context.OutgoingMessages.Count(row => row.NextTryAt != null),
                Parked = context.OutgoingMessages.Count(row => row.ParkedAt != null),
                Sent = context.OutgoingMessages.Count(row => row.SentAt != null),
            })
            .SingleAsync(ct);
        return new MailOverview(
            WayOf(settings, folder),
            own.Email,
            own.Waiting,
            own.Parked,
            own.Sent,
            await ListAsync(rows => rows.Where(row => row.NextTryAt != null).OrderBy(row => row.NextTryAt)),
            await ListAsync(rows => rows.Where(row => row.ParkedAt != null).OrderByDescending(row => row.ParkedAt)),
            await ListAsync(rows => rows.Where(row => row.SentAt != null).OrderByDescending(row => row.SentAt))
        );

        async Task<IReadOnlyList<MessageRow>> ListAsync(Func<IQueryable<OutgoingMessage>, IOrderedQueryable<OutgoingMessage>> choose)
        {
            var rows = await choose(context.OutgoingMessages)
                .ThenBy(row => row.Id)
                .Take(Shown)
                .Select(row => new MessageRow(
                    row.Id,
                    row.Kind,
                    context.People.Single(person => person.Id == row.PersonId).Name,
                    row.CreatedAt,
                    row.AttemptCount,
                    (row.NextTryAt ?? row.ParkedAt ?? row.SentAt)!.Value,
                    row.LastError,
                    row.Kind == MessageKind.Test ? row.Text : null
                ))
                .ToListAsync(ct);
            return
            [
                .. rows.Select(row =>
                    row with
                    {
                        WrittenAt = TimeZoneInfo.ConvertTime(row.WrittenAt, actor.TimeZone),
                        At = TimeZoneInfo.ConvertTime(row.At, actor.TimeZone),
                    }
                ),
            ];
        }
    }

    private static MailWay WayOf(MailSettings settings, MailFolder folder) =>
        new(
            settings.Server is { } server ? FormattableString.Invariant($"{server.Host}, port {server.Port}") : null,
            settings.Server?.Security switch
            {
                MailSecurity.Tls => "TLS",
                MailSecurity.StartTls => "STARTTLS",
                _ => "none: in the clear",
            },
            settings.From.ToString(),
            settings.ReplyTo?.ToString(),
            folder.Place,
            settings.Server is null ? folder.CountFiles() : 0
        );
}
