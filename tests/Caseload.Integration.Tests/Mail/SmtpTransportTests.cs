using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Caseload.Web.Platform.Mail;
using MimeKit;

namespace Caseload.Integration.Tests.Mail;

/// <summary>How the connection to the mail server is protected.</summary>
public sealed class SmtpTransportTests : IDisposable
{
    private readonly X509Certificate2 _authority = MakeAuthority("CN=Invented Authority");
    private readonly X509Certificate2 _certificate;

    public SmtpTransportTests() => _certificate = MakeCertificate(_authority, "localhost");

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public void Dispose()
    {
        _certificate.Dispose();
        _authority.Dispose();
    }

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData(MailSecurity.Tls)]
    [InlineData(MailSecurity.StartTls)]
    public async Task Certificate_FromAnAuthorityNobodyTrusts_IsRefusedAndNothingIsSent(MailSecurity security)
    {
        await using var peer = new SmtpPeer(_certificate, security == MailSecurity.Tls);

        var trouble = await Should.ThrowAsync<MailTroubleException>(() => MailSteps.Way(peer.Port, security).OpenAsync(Ct));

        trouble.Message.ShouldBe("The mail server's certificate is not trusted, or is for another name.");
        peer.Taken.ShouldBeEmpty();
    }

    [Theory]
    [Trait("Requirement", "SEC-49")]
    [InlineData(MailSecurity.Tls)]
    [InlineData(MailSecurity.StartTls)]
    public async Task Certificate_FromTheAuthorityOfTheSettings_IsTaken(MailSecurity security)
    {
        await using var peer = new SmtpPeer(_certificate, security == MailSecurity.Tls);

        (await SendAsync(Server(peer, security, _authority))).ShouldBe(SendAnswer.Taken);

        peer.Taken.ShouldHaveSingleItem();
    }

    [Fact]
    [Trait("Requirement", "SEC-49")]
    public async Task Certificate_ForAnotherNameOrFromAnotherAuthority_IsRefusedInSpiteOfTheSettings()
    {
        using var named = MakeCertificate(_authority, "mail.example.org");
        using var stranger = MakeAuthority("CN=Another Authority");
        await using var peer = new SmtpPeer(named, isSecure: true);
        await using var other = new SmtpPeer(_certificate, isSecure: true);

        await Should.ThrowAsync<MailTroubleException>(() => SendAsync(Server(peer, MailSecurity.Tls, _authority)));
        await Should.ThrowAsync<MailTroubleException>(() => SendAsync(Server(other, MailSecurity.Tls, stranger)));
    }

    [Fact]
    [Trait("Requirement", "SEC-49")]
    public async Task Server_ThatDoesNotOfferStartTls_GetsNothing()
    {
        await using var peer = new SmtpPeer();

        var trouble = await Should.ThrowAsync<MailTroubleException>(() => MailSteps.Way(peer.Port, MailSecurity.StartTls).OpenAsync(Ct));

        trouble.Message.ShouldStartWith("The mail server does not offer what the settings ask for");
        peer.Taken.ShouldBeEmpty();
    }

    [Fact]
    public async Task Password_ThatIsWrong_IsSaidToBe_AndTheRightOneIsTaken()
    {
        await using var peer = new SmtpPeer(_certificate, isSecure: true, password: "right horse");
        var server = Server(peer, MailSecurity.Tls, _authority) with { User = "caseload", Password = "wrong horse" };

        var trouble = await Should.ThrowAsync<MailTroubleException>(() => SendAsync(server));
        trouble.Message.ShouldBe("The mail server did not accept the user and password.");

        (await SendAsync(server with { Password = "right horse" })).ShouldBe(SendAnswer.Taken);
    }

    private static async Task<SendAnswer> SendAsync(MailServer server)
    {
        await using var handover = await MailSteps.Way(0, like: server).OpenAsync(Ct);
        using var message = new MimeMessage();
        message.From.Add(new MailboxAddress("", "caseload@example.org"));
        message.To.Add(new MailboxAddress("", "ida@example.org"));
        message.Body = new TextPart("plain") { Text = "Hello" };
        return await handover.SendAsync(message, Ct);
    }

    private static MailServer Server(SmtpPeer peer, MailSecurity security, X509Certificate2 authority) =>
        new("localhost", peer.Port, security, null, null, [authority]);

    private static X509Certificate2 MakeAuthority(string name)
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest(name, key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        var now = TimeProvider.System.GetUtcNow();
        return request.CreateSelfSigned(now.AddDays(-1), now.AddDays(1));
    }

    private static X509Certificate2 MakeCertificate(X509Certificate2 authority, string host)
    {
        using var key = RSA.Create(2048);
        var request = new CertificateRequest("CN=" + host, key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        var names = new SubjectAlternativeNameBuilder();
        names.AddDnsName(host);
        request.CertificateExtensions.Add(names.Build());
        var now = TimeProvider.System.GetUtcNow();
        using var made = request.Create(authority, now.AddHours(-1), now.AddHours(1), RandomNumberGenerator.GetBytes(8));
        return made.CopyWithPrivateKey(key);
    }
}
