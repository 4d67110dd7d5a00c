using Caseload.Integration.Tests.Hardening;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.Mail;

namespace Caseload.Integration.Tests.Mail;

public sealed class MailSettingsTests : IDisposable
{
    private const string Host = MailSettings.HostSetting;
    private const string From = MailSettings.FromSetting;

    private readonly string _file = Path.GetTempFileName();

    public void Dispose() => File.Delete(_file);

    [Fact]
    public void Settings_WhenThereAreNone_WriteFiles()
    {
        var settings = Read((Host, ""), (MailSettings.PortSetting, " "), (From, ""));

        settings.Server.ShouldBeNull();
        settings.From.ToString().ShouldBe("\"Caseload\" <caseload@caseload.example.org>");
        settings.ReplyTo.ShouldBeNull();
    }

    [Theory]
    [InlineData(null, null, MailSecurity.StartTls, 587)]
    [InlineData(null, "465", MailSecurity.Tls, 465)]
    [InlineData("tls", null, MailSecurity.Tls, 465)]
    [InlineData("STARTTLS", "2525", MailSecurity.StartTls, 2525)]
    public void Port_AndSecurity_FollowFromEachOther(string? security, string? port, MailSecurity expected, int expectedPort)
    {
        var server = Read(
            (Host, "mail.example.org"),
            (From, "caseload@example.org"),
            (MailSettings.SecuritySetting, security ?? ""),
            (MailSettings.PortSetting, port ?? "")
        ).Server!;

        (server.Host, server.Security, server.Port, server.User, server.Password).ShouldBe(
            ("mail.example.org", expected, expectedPort, null, null)
        );
    }

    [Fact]
    public void Sender_MayHaveAName_AndAnswersMayGoElsewhere()
    {
        var settings = Read(
            (Host, "mail.example.org"),
            (From, "Larkfield Caseload <caseload@example.org>"),
            (MailSettings.ReplyToSetting, "office@example.org")
        );

        (settings.From.Name, settings.From.Address, settings.ReplyTo!.Address).ShouldBe(
            ("Larkfield Caseload", "caseload@example.org", "office@example.org")
        );
    }

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData("mail.example.org", "", false)]
    [InlineData("mail.example.org", "other.example.org", false)]
    [InlineData("127.0.0.1.example.org", "", false)]
    [InlineData("mail.example.org", "MAIL.example.org", true)]
    [InlineData("localhost", "", true)]
    [InlineData("127.0.0.1", "", true)]
    [InlineData("[::1]", "", true)]
    public void Plaintext_StaysOnThisMachineOrWhereItIsAllowed(string host, string allowed, bool isTaken)
    {
        (string, string)[] settings =
        [
            (Host, host),
            (From, "caseload@example.org"),
            (MailSettings.SecuritySetting, "none"),
            (MailSettings.PlaintextSetting, allowed),
        ];

        if (isTaken)
        {
            Read(settings).Server!.Port.ShouldBe(25);
        }
        else
        {
            ShouldStop("must not travel in the clear", settings);
        }
    }

    [Theory]
    [InlineData("a sender is missing", "CASELOAD_MAIL_FROM is not")]
    [InlineData("no address", "It must be an e-mail address", From, "caseload")]
    [InlineData("two addresses", "It must be an e-mail address", From, "a@example.org, b@example.org")]
    [InlineData("answers", "It must be an e-mail address", From, "a@example.org", MailSettings.ReplyToSetting, "office")]
    [InlineData("port", "1 to 65535", From, "a@example.org", MailSettings.PortSetting, "70000")]
    [InlineData("security", "\"tls\", \"starttls\" or \"none\"", From, "a@example.org", MailSettings.SecuritySetting, "ssl")]
    [InlineData("user alone", "Set both", From, "a@example.org", MailSettings.UserSetting, "caseload")]
    [InlineData("password alone", "Set both", From, "a@example.org", MailSettings.PasswordFileSetting, "/nowhere")]
    public void Settings_ThatAreNotWhole_StopTheStart(string what, string words, params string[] pairs)
    {
        what.ShouldNotBeEmpty();
        ShouldStop(words, [(Host, "mail.example.org"), .. pairs.Chunk(2).Select(pair => (pair[0], pair[1]))]);
    }

    [Theory]
    [InlineData("https://mail.example.org")]
    [InlineData("mail.example.org:587")]
    [InlineData("mail example")]
    public void Host_ThatIsNoName_StopsTheStart(string host) =>
        ShouldStop("name of a machine only", (Host, host), (From, "caseload@example.org"));

    [Fact]
    public void Settings_OfAServerWithoutItsName_StopTheStart() =>
        ShouldStop("is set and CASELOAD_SMTP_HOST is not", (MailSettings.UserSetting, "caseload"));

    [Fact]
    public void PasswordFile_IsReadAndMustHoldSomething()
    {
        (string, string)[] settings =
        [
            (Host, "mail.example.org"),
            (From, "caseload@example.org"),
            (MailSettings.UserSetting, "caseload"),
            (MailSettings.PasswordFileSetting, _file),
        ];
        ShouldStop("is empty", settings);

        File.WriteAllText(_file, "correct horse\n");

        (Read(settings).Server!.User, Read(settings).Server!.Password).ShouldBe(("caseload", "correct horse"));
        ShouldStop("does not exist", [.. settings[..3], (MailSettings.PasswordFileSetting, _file + ".not")]);
    }

    [Fact]
    public void AuthorityFile_MustHoldACertificate()
    {
        File.WriteAllText(_file, "nothing of the kind");

        ShouldStop("PEM form", (Host, "mail.example.org"), (From, "caseload@example.org"), (MailSettings.AuthorityFileSetting, _file));
    }

    private static MailSettings Read(params (string Name, string Value)[] settings) =>
        MailSettings.Read(
            HardenedSite.Settings(settings),
            PublicAddress.Find("", HardenedSite.Settings((PublicAddress.Setting, "https://caseload.example.org")))
        );

    private static void ShouldStop(string words, params (string Name, string Value)[] settings) =>
        Should.Throw<HostStartException>(() => Read(settings)).Message.ShouldContain(words);
}
