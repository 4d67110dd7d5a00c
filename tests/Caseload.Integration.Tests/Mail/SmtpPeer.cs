using System.Buffers;
using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography.X509Certificates;
using MimeKit;
using SmtpServer;
using SmtpServer.Authentication;
using SmtpServer.Mail;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace Caseload.Integration.Tests.Mail;

/// <summary>A mail server on loopback that does what a test tells it to.</summary>
internal sealed class SmtpPeer : IMailboxFilter, IMessageStore, IAsyncDisposable
{
    private readonly CancellationTokenSource _stopping = new();
    private readonly Task _running;
    private int _sessions;

    internal SmtpPeer(X509Certificate2? certificate = null, bool isSecure = false, string? password = null)
    {
        Port = FreePort();
        var options = new SmtpServerOptionsBuilder()
            .ServerName("peer")
            .Endpoint(endpoint =>
            {
                endpoint.Endpoint(new IPEndPoint(IPAddress.Loopback, Port)).IsSecure(isSecure).AllowUnsecureAuthentication();
                if (certificate is not null)
                {
                    endpoint.Certificate(certificate);
                }
            })
            .Build();
        var services = new SmtpServer.ComponentModel.ServiceProvider();
        services.Add((IMailboxFilter)this);
        services.Add((IMessageStore)this);
        services.Add(new DelegatingUserAuthenticator((_, _, given) => given == password));
        var server = new SmtpServer.SmtpServer(options, services);
        server.SessionCreated += (_, _) => Interlocked.Increment(ref _sessions);
        _running = server.StartAsync(_stopping.Token);
    }

    internal int Port { get; }

    /// <summary>How many connections there were.</summary>
    internal int Sessions => _sessions;

    /// <summary>What was taken, in order.</summary>
    internal ConcurrentQueue<MimeMessage> Taken { get; } = [];

    /// <summary>The answer to a recipient; null to take it.</summary>
    internal Func<string, SmtpResponse?> OnRecipient { get; set; } = _ => null;

    /// <summary>What happens when a message has been taken and the client waits for the answer.</summary>
    internal Func<ISessionContext, CancellationToken, Task<SmtpResponse>> OnTaken { get; set; } =
        (_, _) => Task.FromResult(SmtpResponse.Ok);

    /// <summary>The Message-IDs of what was taken.</summary>
    internal IEnumerable<string?> TakenIds => Taken.Select(message => message.MessageId);

    public Task<bool> CanAcceptFromAsync(ISessionContext context, IMailbox from, int size, CancellationToken cancellationToken) =>
        Task.FromResult(true);

    public Task<bool> CanDeliverToAsync(ISessionContext context, IMailbox to, IMailbox from, CancellationToken cancellationToken) =>
        OnRecipient($"{to.User}@{to.Host}") is { } answer ? throw new SmtpResponseException(answer) : Task.FromResult(true);

    public async Task<SmtpResponse> SaveAsync(
        ISessionContext context,
        IMessageTransaction transaction,
        ReadOnlySequence<byte> buffer,
        CancellationToken cancellationToken
    )
    {
        using var memory = new MemoryStream(buffer.ToArray());
        Taken.Enqueue(await MimeMessage.LoadAsync(memory, CancellationToken.None));
        return await OnTaken(context, cancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        await _stopping.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stopping.Dispose();
    }

    internal static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
