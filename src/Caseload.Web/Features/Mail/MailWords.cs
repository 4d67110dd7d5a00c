using Caseload.Data.Mail;

namespace Caseload.Web.Features.Mail;

/// <summary>What the mail pages call things.</summary>
internal static class MailWords
{
    /// <summary>What a message is about.</summary>
    internal static string NameOf(MessageKind kind) =>
        kind switch
        {
            MessageKind.Alert => "Alert",
            MessageKind.Escalation => "Unanswered alert",
            MessageKind.Digest => "Weekly digest",
            _ => "Test",
        };

    /// <summary>How often it was tried.</summary>
    internal static string Tries(int count) =>
        count switch
        {
            0 => "not yet",
            1 => "once",
            2 => "twice",
            _ => FormattableString.Invariant($"{count} times"),
        };

    /// <summary>Where a message stands.</summary>
    internal static string NameOf(MessageState state) =>
        state switch
        {
            MessageState.Sent => "Sent",
            MessageState.Parked => "Could not be sent",
            _ => "Waits to be sent",
        };
}
