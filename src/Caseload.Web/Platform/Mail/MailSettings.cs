using System.Globalization;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Caseload.Data;
using Caseload.Web.Platform.Hardening;
using MimeKit;

namespace Caseload.Web.Platform.Mail;

/// <summary>How a connection to the mail server is protected.</summary>
public enum MailSecurity
{
    /// <summary>TLS from the first byte.</summary>
    Tls,

    /// <summary>Turned into TLS before anything is said; a server that does not offer it is left.</summary>
    StartTls,

    /// <summary>In the clear.</summary>
    None,
}

/// <summary>The mail server that messages are handed to.</summary>
/// <param name="Host">Its name.</param>
/// <param name="Port">Its port.</param>
/// <param name="Security">How the connection is protected.</param>
/// <param name="User">Whom to sign in as; null when the server asks for nobody.</param>
/// <param name="Password">The password that goes with it.</param>
/// <param name="Authority">Whose certificate the server's must come from; null for those that the machine trusts.</param>
public sealed record MailServer(
    string Host,
    int Port,
    MailSecurity Security,
    string? User,
    string? Password,
    X509Certificate2Collection? Authority
)
{
    /// <summary>How long the server may take to answer.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromSeconds(30);
}

/// <summary>How mail is sent.</summary>
/// <param name="Server">The mail server; null when messages are written to files.</param>
/// <param name="From">The sender.</param>
/// <param name="ReplyTo">Where answers go; null for the sender.</param>
public sealed record MailSettings(MailServer? Server, MailboxAddress From, MailboxAddress? ReplyTo)
{
    /// <summary>The setting that names the mail server.</summary>
    public const string HostSetting = "CASELOAD_SMTP_HOST";

    /// <summary>The setting for the port.</summary>
    public const string PortSetting = "CASELOAD_SMTP_PORT";

    /// <summary>The setting that says how the connection is protected.</summary>
    public const string SecuritySetting = "CASELOAD_SMTP_SECURITY";

    /// <summary>The setting for the user.</summary>
    public const string UserSetting = "CASELOAD_SMTP_USER";

    /// <summary>The setting that names the file with the password.</summary>
    public const string PasswordFileSetting = "CASELOAD_SMTP_PASSWORD_FILE";

    /// <summary>The setting that names the file with the certificate of an authority of one's own.</summary>
    public const string AuthorityFileSetting = "CASELOAD_SMTP_AUTHORITY_FILE";

    /// <summary>The setting that names the host which may be reached in the clear.</summary>
    public const string PlaintextSetting = "CASELOAD_SMTP_ALLOW_PLAINTEXT";

    /// <summary>The setting for the sender.</summary>
    public const string FromSetting = "CASELOAD_MAIL_FROM";

    /// <summary>The setting for where answers go.</summary>
    public const string ReplyToSetting = "CASELOAD_MAIL_REPLY_TO";

    private const string Sender = "Caseload";
    private const int TlsPort = 465;
    private const int SubmissionPort = 587;
    private const int RelayPort = 25;

    private static readonly string[] _ofServer =
    [
        PortSetting,
        SecuritySetting,
        UserSetting,
        PasswordFileSetting,
        AuthorityFileSetting,
        PlaintextSetting,
    ];

    /// <summary>Reads the settings.</summary>
    /// <exception cref="HostStartException">They are not complete or not safe; says what to set.</exception>
    public static MailSettings Read(IConfiguration settings, PublicAddress address)
    {
        var server = ReadServer(settings);
        var from = ReadMailbox(settings, FromSetting);
        if (server is not null && from is null)
        {
            throw new HostStartException(
                $"{HostSetting} is set and {FromSetting} is not. Set it to the address that Caseload sends from, for example "
                    + "caseload@example.org."
            );
        }
        return new MailSettings(server, from ?? OfThisPlace(address), ReadMailbox(settings, ReplyToSetting));
    }

    /// <summary>An e-mail address, or one with a name before it; null when it is none.</summary>
    public static MailboxAddress? ParseMailbox(string? text) =>
        !string.IsNullOrWhiteSpace(text)
        && !text.Any(char.IsControl)
        && MailboxAddress.TryParse(text.Trim(), out var mailbox)
        && mailbox.Address.Length <= TextLimits.Address
        && mailbox.Address.Split('@') is [{ Length: > 0 }, { Length: > 0 }]
            ? mailbox
            : null;

    private static MailServer? ReadServer(IConfiguration settings)
    {
        if (Given(settings[HostSetting]) is not { } host)
        {
            return Array.Find(_ofServer, name => Given(settings[name]) is not null) is { } stray
                ? throw new HostStartException(
                    $"{stray} is set and {HostSetting} is not. Set it to the name of your mail server, or take {stray} away: without a mail "
                        + "server messages are written to files in the data folder."
                )
                : null;
        }
        if (Uri.CheckHostName(host.Trim('[', ']')) == UriHostNameType.Unknown)
        {
            throw new HostStartException(
                $"{HostSetting} is \"{host}\". It must be the name of a machine only, for example mail.example.org; the port goes into {PortSetting}."
            );
        }
        var port = ReadPort(settings[PortSetting]);
        var security = ReadSecurity(settings[SecuritySetting]) ?? (port == TlsPort ? MailSecurity.Tls : MailSecurity.StartTls);
        if (security == MailSecurity.None && !MayBeInTheClear(host, settings))
        {
            throw new HostStartException(
                $"{SecuritySetting} is \"none\" and the mail server is on another machine ({host}). Messages may tell of children and must not "
                    + $"travel in the clear: use \"tls\" or \"starttls\". If nobody else can listen on the network between, name the host in {PlaintextSetting}."
            );
        }
        var (user, password) = ReadUser(settings);
        return new MailServer(
            host.Trim('[', ']'),
            port
                ?? security switch
                {
                    MailSecurity.Tls => TlsPort,
                    MailSecurity.StartTls => SubmissionPort,
                    _ => RelayPort,
                },
            security,
            user,
            password,
            ReadAuthority(settings[AuthorityFileSetting])
        );
    }

    private static bool MayBeInTheClear(string host, IConfiguration settings) =>
        PublicAddress.IsLoopbackHost(host) || string.Equals(Given(settings[PlaintextSetting]), host, StringComparison.OrdinalIgnoreCase);

    private static int? ReadPort(string? value) =>
        Given(value) is not { } given ? null
        : int.TryParse(given, NumberStyles.None, CultureInfo.InvariantCulture, out var port) && port is > 0 and <= ushort.MaxValue ? port
        : throw new HostStartException($"{PortSetting} is \"{given}\". It must be a number from 1 to 65535, usually 587 or 465.");

    private static MailSecurity? ReadSecurity(string? value) =>
        Given(value)?.ToUpperInvariant() switch
        {
            null => null,
            "TLS" => MailSecurity.Tls,
            "STARTTLS" => MailSecurity.StartTls,
            "NONE" => MailSecurity.None,
            _ => throw new HostStartException($"{SecuritySetting} is \"{Given(value)}\". It must be \"tls\", \"starttls\" or \"none\"."),
        };

    private static (string? User, string? Password) ReadUser(IConfiguration settings)
    {
        var user = Given(settings[UserSetting]);
        var file = Given(settings[PasswordFileSetting]);
        if (user is null != file is null)
        {
            throw new HostStartException(
                $"{(user is null ? PasswordFileSetting : UserSetting)} is set and {(user is null ? UserSetting : PasswordFileSetting)} is not. "
                    + "Set both to sign in at the mail server, or take both away."
            );
        }
        return (
            user,
            file is null ? null
            : !File.Exists(file) ? throw new HostStartException($"The file {file} of {PasswordFileSetting} does not exist.")
            : Given(File.ReadAllText(file))
                ?? throw new HostStartException(
                    $"The file {file} of {PasswordFileSetting} is empty. Put the mail server's password into it."
                )
        );
    }

    private static X509Certificate2Collection? ReadAuthority(string? value)
    {
        if (Given(value) is not { } file)
        {
            return null;
        }
        var certificates = new X509Certificate2Collection();
        try
        {
            certificates.ImportFromPemFile(file);
        }
        catch (Exception failure) when (failure is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw new HostStartException($"The file {file} of {AuthorityFileSetting} cannot be read as a certificate in PEM form.");
        }
        return certificates.Count > 0
            ? certificates
            : throw new HostStartException($"The file {file} of {AuthorityFileSetting} holds no certificate in PEM form.");
    }

    private static MailboxAddress? ReadMailbox(IConfiguration settings, string name) =>
        Given(settings[name]) is not { } given ? null
        : ParseMailbox(given) is not { } mailbox
            ? throw new HostStartException(
                $"{name} is \"{given}\". It must be an e-mail address, for example caseload@example.org or \"Caseload <caseload@example.org>\"."
            )
        : string.IsNullOrEmpty(mailbox.Name) && name == FromSetting ? new MailboxAddress(Sender, mailbox.Address)
        : mailbox;

    // Files are sent to nobody; their sender only has to look like one.
    private static MailboxAddress OfThisPlace(PublicAddress address) =>
        new(Sender, "caseload@" + (address.Uri.HostNameType == UriHostNameType.Dns ? address.Uri.IdnHost : "localhost"));

    private static string? Given(string? value) => string.IsNullOrWhiteSpace(value) ? null : value.Trim();
}
