using System.Net;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;
using Caseload.Domain;
using Caseload.Web.Platform.Mail;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Mail;

/// <summary>Sends a test message.</summary>
/// <param name="Id">The attempt, made by the page.</param>
/// <param name="Address">Where to.</param>
public sealed record SendTestMessage(Guid Id, string Address);

/// <summary>Writes a test message, which goes the way of every other.</summary>
public sealed class SendTestMessageHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>What the subject is.</summary>
    public const string Subject = "Test message from Caseload";

    /// <summary>The message's key, by which it is found again; or why there is none.</summary>
    public async Task<Checked<Guid>> HandleAsync(Actor actor, SendTestMessage request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        if (MailSettings.ParseMailbox(request.Address) is not { } mailbox)
        {
            return Checked.Refuse<Guid>("address", "This is no e-mail address. It looks like name@example.org.");
        }
        var key = $"test/{request.Id:N}";
        if (!await context.OutgoingMessages.AnyAsync(row => row.Key == key, ct))
        {
            var asked = $"{actor.DisplayName} asked for it on {Dates.Minute(TimeZoneInfo.ConvertTime(at, actor.TimeZone))}.";
            OutgoingMessages.Announce(
                context,
                new MessageRecipient(actor.PersonId, mailbox.Address),
                MessageKind.Test,
                key,
                new MessageContent(Subject, TextOf(asked), HtmlOf(asked)),
                isOptional: false,
                at
            );
            context.Record("test-message-written", null, at);
            await context.SaveChangesAsync(ct);
        }
        return Checked.Accept(await context.OutgoingMessages.Where(row => row.Key == key).Select(row => row.Id).SingleAsync(ct));
    }

    private static string TextOf(string asked) =>
        $"""
            This is a test: mail from Caseload reaches this address.

            {asked}
            It was sent by {OutgoingMessage.SiteMark}
            """;

    private static string HtmlOf(string asked) =>
        $"""
            <!DOCTYPE html>
            <html lang="en">
            <head><meta charset="utf-8"><title>{Subject}</title></head>
            <body style="font-family: sans-serif">
            <h1 style="font-size: 1.2em">This is a test</h1>
            <p>Mail from Caseload reaches this address.</p>
            <p>{WebUtility.HtmlEncode(asked)}</p>
            <p>It was sent by <a href="{OutgoingMessage.SiteMark}">{OutgoingMessage.SiteMark}</a></p>
            </body>
            </html>
            """;
}
