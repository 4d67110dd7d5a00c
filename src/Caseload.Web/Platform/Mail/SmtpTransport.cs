using System.Net.Security;
using System.Security.Cryptography.X509Certificates;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;

namespace Caseload.Web.Platform.Mail;

/// <summary>Hands messages to a mail server, several over one connection.</summary>
public sealed class SmtpTransport(MailServer server) : IMailTransport
{
    // When the program stops, a server that is about to answer is still heard.
    private static readonly TimeSpan _grace = TimeSpan.FromSeconds(5);

    /// <inheritdoc />
    public async Task<IMailHandover> OpenAsync(CancellationToken ct)
    {
        var client = new SmtpClient { Timeout = (int)server.Patience.TotalMilliseconds };
        if (server.Authority is { } authority)
        {
            client.ServerCertificateValidationCallback = (_, certificate, _, errors) => IsFrom(authority, certificate, errors);
        }
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(ct);
        limit.CancelAfter(server.Patience);
        try
        {
            await client.ConnectAsync(server.Host, server.Port, OptionOf(server.Security), limit.Token);
            if (server.User is { } user)
            {
                await client.AuthenticateAsync(user, server.Password!, limit.Token);
            }
            return new Handover(client, server.Patience);
        }
        catch (Exception failure) when (!ct.IsCancellationRequested && MailTrouble.IsBehind(failure))
        {
            client.Dispose();
            throw new MailTroubleException(MailTrouble.Describe(failure));
        }
        catch
        {
            client.Dispose();
            throw;
        }
    }

    private static SecureSocketOptions OptionOf(MailSecurity security) =>
        security switch
        {
            MailSecurity.Tls => SecureSocketOptions.SslOnConnect,
            // Not "when available": whoever sits between could take the offer out.
            MailSecurity.StartTls => SecureSocketOptions.StartTls,
            _ => SecureSocketOptions.None,
        };

    /// <summary>Whether a certificate is for the right name and comes from an authority of one's own, which publishes no revocations.</summary>
    private static bool IsFrom(X509Certificate2Collection authority, X509Certificate? certificate, SslPolicyErrors errors)
    {
        if (certificate is null || (errors & ~SslPolicyErrors.RemoteCertificateChainErrors) != SslPolicyErrors.None)
        {
            return false;
        }
        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(authority);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        using var presented = new X509Certificate2(certificate);
        return chain.Build(presented);
    }

    private sealed class Handover(SmtpClient client, TimeSpan patience) : IMailHandover
    {
        public async Task<SendAnswer> SendAsync(MimeMessage message, CancellationToken ct)
        {
            using var limit = new CancellationTokenSource(patience);
            await using var stopping = ct.Register(() => limit.CancelAfter(_grace));
            try
            {
                await client.SendAsync(message, limit.Token);
                return SendAnswer.Taken;
            }
            catch (SmtpCommandException answer)
            {
                return MailTrouble.Judge(answer, message.To.Mailboxes.First().Address, client.IsConnected);
            }
            catch (Exception failure) when (MailTrouble.IsBehind(failure))
            {
                return new SendAnswer(SendVerdict.Broken, MailTrouble.Describe(failure));
            }
        }

        public async ValueTask DisposeAsync()
        {
            using var limit = new CancellationTokenSource(_grace);
            try
            {
                await client.DisconnectAsync(quit: true, limit.Token);
            }
            catch (Exception failure) when (MailTrouble.IsBehind(failure))
            {
                // All that was to be said is said; a server that does not say goodbye is left.
            }
            client.Dispose();
        }
    }
}
