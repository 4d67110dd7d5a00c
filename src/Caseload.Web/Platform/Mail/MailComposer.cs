using System.Net;
using Caseload.Data.Mail;
using Caseload.Web.Platform.Hardening;
using MimeKit;

namespace Caseload.Web.Platform.Mail;

/// <summary>A message with its marks replaced, as it is read.</summary>
/// <param name="Subject">The subject.</param>
/// <param name="Text">The plain text part.</param>
/// <param name="Html">The HTML part; null when there is only text.</param>
public sealed record ReadableMessage(string Subject, string Text, string? Html);

/// <summary>Makes of a stored message what is sent: the same every time, so that a repeat can be recognised.</summary>
public sealed class MailComposer(MailSettings settings, PublicAddress address, MailStopLinks links)
{
    /// <summary>The message as the recipient reads it.</summary>
    public ReadableMessage Read(OutgoingMessage row) => Read(row, links.Make(row.ProgrammeId, row.PersonId));

    /// <summary>The message as it is handed over; null when its address is none that mail can go to.</summary>
    public MimeMessage? Compose(OutgoingMessage row)
    {
        if (MailSettings.ParseMailbox(row.Address) is not { } recipient)
        {
            return null;
        }
        var stop = links.Make(row.ProgrammeId, row.PersonId);
        var content = Read(row, stop);
        var message = new MimeMessage
        {
            MessageId = $"{row.Id:N}@{settings.From.Domain}",
            Date = row.CreatedAt,
            Subject = content.Subject,
        };
        message.From.Add(settings.From);
        message.To.Add(new MailboxAddress("", recipient.Address));
        if (settings.ReplyTo is { } replyTo)
        {
            message.ReplyTo.Add(replyTo);
        }
        // RFC 3834: nobody's absence note need answer it.
        message.Headers.Add(HeaderId.AutoSubmitted, "auto-generated");
        if (row.IsOptional)
        {
            message.Headers.Add(HeaderId.ListUnsubscribe, $"<{stop}>");
            if (address.IsSecure)
            {
                // RFC 8058 asks for https.
                message.Headers.Add(HeaderId.ListUnsubscribePost, MailStop.OneClickField + "=" + MailStop.OneClickValue);
            }
        }
        message.Body = BodyOf(content);
        return message;
    }

    private ReadableMessage Read(OutgoingMessage row, Uri stop)
    {
        return new ReadableMessage(
            row.Subject,
            Replace(row.Text, value => value),
            row.Html is null ? null : Replace(row.Html, WebUtility.HtmlEncode)
        );

        string Replace(string part, Func<string, string?> write) =>
            part.Replace(OutgoingMessage.SiteMark, write(address.Origin), StringComparison.Ordinal)
                .Replace(OutgoingMessage.StopMark, write(stop.ToString()), StringComparison.Ordinal);
    }

    private static MimeEntity BodyOf(ReadableMessage content)
    {
        var text = new TextPart("plain") { Text = content.Text };
        return content.Html is null ? text : new MultipartAlternative(text, new TextPart("html") { Text = content.Html });
    }
}
