using MimeKit;

namespace Caseload.Web.Platform.Mail;

/// <summary>How messages leave the program.</summary>
public interface IMailTransport
{
    /// <summary>Makes ready to hand over a few messages one after the other.</summary>
    /// <exception cref="MailTroubleException">Nothing can be handed over at present; says why.</exception>
    Task<IMailHandover> OpenAsync(CancellationToken ct);
}

/// <summary>A way out that is open.</summary>
public interface IMailHandover : IAsyncDisposable
{
    /// <summary>Hands a message over. What keeps it from being taken is an answer, not an exception.</summary>
    Task<SendAnswer> SendAsync(MimeMessage message, CancellationToken ct);
}

/// <summary>What became of a message.</summary>
public enum SendVerdict
{
    /// <summary>It was taken.</summary>
    Taken,

    /// <summary>It was refused, and would be again.</summary>
    Refused,

    /// <summary>It was not taken; it may be later.</summary>
    NotNow,

    /// <summary>Whether it was taken is not known, and nothing more goes this way; others may later.</summary>
    Broken,
}

/// <summary>What became of a message, and why.</summary>
/// <param name="Verdict">What became of it.</param>
/// <param name="Why">Why it was not taken, in words without an address.</param>
public sealed record SendAnswer(SendVerdict Verdict, string Why)
{
    /// <summary>It was taken.</summary>
    public static SendAnswer Taken { get; } = new(SendVerdict.Taken, "");
}

/// <summary>No message can be sent at present; the message says why, in words without an address.</summary>
public sealed class MailTroubleException(string message) : Exception(message);
