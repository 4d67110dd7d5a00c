using System.Globalization;
using System.Net.Sockets;
using System.Text.RegularExpressions;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;

namespace Caseload.Web.Platform.Mail;

/// <summary>What goes wrong between Caseload and a mail server, in words that an administrator can act on.</summary>
public static partial class MailTrouble
{
    private const int LongestReply = 300;
    private const int FirstPermanent = 500;

    /// <summary>Whether a failure is the server's or the network's, and not a mistake of ours.</summary>
    public static bool IsBehind(Exception failure) =>
        failure
            is SocketException
                or IOException
                or TimeoutException
                or OperationCanceledException
                or AuthenticationException
                or SslHandshakeException
                or SaslException
                or NotSupportedException
                or ProtocolException
                or CommandException
                or ServiceNotConnectedException
                or ServiceNotAuthenticatedException;

    /// <summary>Why no connection came about, or why it was lost.</summary>
    public static string Describe(Exception failure) =>
        failure switch
        {
            SslHandshakeException => "The mail server's certificate is not trusted, or is for another name.",
            AuthenticationException or SaslException => "The mail server did not accept the user and password.",
            NotSupportedException => "The mail server does not offer what the settings ask for (STARTTLS, or a way to sign in).",
            SocketException { SocketErrorCode: SocketError.HostNotFound or SocketError.NoData } => "The mail server's name is not known.",
            SocketException { SocketErrorCode: SocketError.ConnectionRefused } => "Nothing answers at the mail server's address and port.",
            SocketException { SocketErrorCode: SocketError.TimedOut } or TimeoutException or OperationCanceledException =>
                "The mail server did not answer in time.",
            SmtpCommandException answer => "The mail server said: " + ReplyOf(answer, ""),
            _ => "The connection to the mail server was lost.",
        };

    /// <summary>What a server's refusal of a message means.</summary>
    /// <param name="answer">The refusal.</param>
    /// <param name="recipient">Whose address must not appear in the words.</param>
    /// <param name="isConnected">Whether the server still listens.</param>
    public static SendAnswer Judge(SmtpCommandException answer, string recipient, bool isConnected)
    {
        var reply = ReplyOf(answer, recipient);
        var isForGood = (int)answer.StatusCode >= FirstPermanent;
        return answer.ErrorCode switch
        {
            SmtpErrorCode.RecipientNotAccepted when isForGood => new(
                SendVerdict.Refused,
                "The mail server refused the recipient: " + reply
            ),
            SmtpErrorCode.MessageNotAccepted when isForGood => new(SendVerdict.Refused, "The mail server refused the message: " + reply),
            // A sender that is refused for good is a matter of settings: once they are right, the message can go.
            SmtpErrorCode.SenderNotAccepted => Later("The mail server refused the sender: "),
            _ => Later("The mail server did not take it for now: "),
        };

        SendAnswer Later(string words) => new(isConnected ? SendVerdict.NotNow : SendVerdict.Broken, words + reply);
    }

    /// <summary>A server's reply without addresses, on one line.</summary>
    private static string ReplyOf(SmtpCommandException answer, string recipient)
    {
        var text = Address().Replace(answer.Message, "(address)");
        var local = recipient.Split('@')[0];
        if (local.Length >= 3)
        {
            text = text.Replace(local, "(address)", StringComparison.OrdinalIgnoreCase);
        }
        var line = string.Create(
            CultureInfo.InvariantCulture,
            $"{(int)answer.StatusCode} {string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries))}"
        );
        return line.Length <= LongestReply ? line : string.Concat(line.AsSpan(0, LongestReply), "…");
    }

    [GeneratedRegex(@"<?[^\s<>@]+@[^\s<>,;:]+>?", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Address();
}
