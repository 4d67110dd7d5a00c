using Caseload.Data.People;

namespace Caseload.Data.Mail;

/// <summary>Writes messages into the unit of work of what they announce, so that either both are stored or neither.</summary>
public static class OutgoingMessages
{
    /// <summary>Adds a message that goes out as soon as the work is saved.</summary>
    /// <param name="context">The unit of work; a person's or a job's.</param>
    /// <param name="recipient">Whom it goes to.</param>
    /// <param name="kind">What it is about.</param>
    /// <param name="key">What it announces, unique in the programme: the same key a second time fails the save.</param>
    /// <param name="content">The subject and the two parts.</param>
    /// <param name="isOptional">Whether the person may stop messages of this kind.</param>
    /// <param name="at">Now.</param>
    /// <returns>False, and nothing is added, when the recipient has no address.</returns>
    public static bool Announce(
        CaseloadDbContext context,
        MessageRecipient recipient,
        MessageKind kind,
        string key,
        MessageContent content,
        bool isOptional,
        DateTimeOffset at
    )
    {
        if (string.IsNullOrWhiteSpace(recipient.Address))
        {
            return false;
        }
        context.Add(
            new OutgoingMessage
            {
                ProgrammeId = context.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                Key = key,
                Kind = kind,
                PersonId = recipient.PersonId,
                Address = recipient.Address.Trim(),
                Subject = SubjectOf(content.Subject),
                Text = content.Text,
                Html = content.Html,
                IsOptional = isOptional,
                CreatedAt = at,
                NextTryAt = at,
            }
        );
        return true;
    }

    // One line, whatever it was put together from.
    private static string SubjectOf(string subject)
    {
        var line = string.Join(' ', subject.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
        return line.Length <= TextLimits.Line ? line : string.Concat(line.AsSpan(0, TextLimits.Line - 1), "…");
    }
}

/// <summary>Whom a message goes to.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="Address">The e-mail address; null when there is none.</param>
public sealed record MessageRecipient(Guid PersonId, string? Address)
{
    /// <summary>A person, who gets nothing while disabled.</summary>
    public static MessageRecipient Of(Person person) => new(person.Id, person.DisabledAt is null ? person.Email : null);
}

/// <summary>What a message says. Both parts may hold <see cref="OutgoingMessage.SiteMark"/> and <see cref="OutgoingMessage.StopMark"/>.</summary>
/// <param name="Subject">The subject; becomes one line.</param>
/// <param name="Text">The plain text part.</param>
/// <param name="Html">The HTML part; null when there is only text.</param>
public sealed record MessageContent(string Subject, string Text, string? Html);
