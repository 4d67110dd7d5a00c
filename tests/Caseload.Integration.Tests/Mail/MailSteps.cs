using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;
using Caseload.Data.People;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Hardening;
using Caseload.Web.Platform.Mail;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using MimeKit;

namespace Caseload.Integration.Tests.Mail;

/// <summary>A programme of a test's own, with somebody to write to.</summary>
internal sealed class MailSteps
{
    internal const string Html = "<p>Open <a href=\"{site}/alerts\">{site}/alerts</a> or <a href=\"{stop}\">stop</a></p>";
    internal const string Text = "Open {site}/alerts\n\nStop: {stop}\n";

    private readonly StoreFixture _store;
    private int _written;

    private MailSteps(StoreFixture store, Actor person) => (_store, Person) = (store, person);

    internal static PublicAddress Address { get; } =
        PublicAddress.Find("", HardenedSite.Settings((PublicAddress.Setting, "https://caseload.example.org")));

    internal static MailStopLinks Links { get; } = new(new EphemeralDataProtectionProvider(), Address);

    internal static MailComposer Composer { get; } =
        new(
            new MailSettings(null, new MailboxAddress("Caseload", "caseload@example.org"), new MailboxAddress("", "office@example.org")),
            Address,
            Links
        );

    internal Actor Person { get; }

    internal Guid ProgrammeId => Person.ProgrammeId;

    internal FakeTimeProvider Time { get; } = new(StoreFixture.NoonAt);

    internal ListLogger<OutboxDispatcher> Log { get; } = new();

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    internal static async Task<MailSteps> MakeAsync(StoreFixture store, params IReadOnlyList<Role> roles)
    {
        var programmeId = StoreFixture.NewId();
        await store.Db.CreateProgrammeAsync(programmeId, "Mail", "Europe/Dublin", StoreFixture.NoonAt, Ct);
        return new MailSteps(store, await store.AddPersonAsync(programmeId, roles.Count == 0 ? [Role.Clinician] : roles, "Ida Invented"));
    }

    /// <summary>A way to a server on this machine. Whoever waits for its silence says for how long.</summary>
    internal static SmtpTransport Way(int port, MailSecurity security = MailSecurity.None, MailServer? like = null, int seconds = 20) =>
        new((like ?? new MailServer("localhost", port, security, null, null, null)) with { Patience = TimeSpan.FromSeconds(seconds) });

    internal OutboxDispatcher Dispatcher(IMailTransport transport) => new(_store.Db, transport, Composer, Time, Log);

    internal Task<DispatchCounts> DispatchAsync(IMailTransport transport) => Dispatcher(transport).RunAsync(ProgrammeId, Ct);

    /// <summary>Writes a message in a job's name and returns its id.</summary>
    internal async Task<Guid> WriteAsync(
        string address = "ida@example.org",
        MessageKind kind = MessageKind.Alert,
        bool isOptional = false,
        string subject = "Something to look at"
    )
    {
        // One after the other, so that their order is known.
        var at = Time.GetUtcNow().AddHours(-1).AddSeconds(_written);
        var key = $"test/{_written++}";
        await using var context = _store.Db.ForJob("test", ProgrammeId);
        OutgoingMessages
            .Announce(
                context,
                new MessageRecipient(Person.PersonId, address),
                kind,
                key,
                new MessageContent(subject, Text, Html),
                isOptional,
                at
            )
            .ShouldBeTrue();
        await context.SaveChangesAsync(Ct);
        return await context.OutgoingMessages.Where(row => row.Key == key).Select(row => row.Id).SingleAsync(Ct);
    }

    internal async Task<OutgoingMessage> ReadAsync(Guid id)
    {
        await using var context = _store.Db.ForJob("test", ProgrammeId);
        return await context.OutgoingMessages.AsNoTracking().SingleAsync(row => row.Id == id, Ct);
    }

    internal async Task<IReadOnlyList<OutgoingMessage>> ReadAllAsync()
    {
        await using var context = _store.Db.ForJob("test", ProgrammeId);
        return await context.OutgoingMessages.AsNoTracking().OrderBy(row => row.Key).ToListAsync(Ct);
    }

    internal async Task ChangePersonAsync(Action<Person> change)
    {
        await using var context = _store.Db.ForJob("test", ProgrammeId);
        change(await context.People.SingleAsync(person => person.Id == Person.PersonId, Ct));
        await context.SaveChangesAsync(Ct);
    }

    internal static string IdOf(Guid id) => $"{id:N}@example.org";
}

/// <summary>A way out that stops for good at a point, as a process does that is killed there.</summary>
internal sealed class DeadWay(IMailTransport inner, bool isAfterTaking) : IMailTransport
{
    private readonly TaskCompletionSource _reached = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>Done when the point is reached.</summary>
    internal Task Reached => _reached.Task;

    public async Task<IMailHandover> OpenAsync(CancellationToken ct) => new Handover(this, await inner.OpenAsync(ct), isAfterTaking);

    private sealed class Handover(DeadWay way, IMailHandover inner, bool isAfterTaking) : IMailHandover
    {
        public async Task<SendAnswer> SendAsync(MimeMessage message, CancellationToken ct)
        {
            if (isAfterTaking)
            {
                await inner.SendAsync(message, ct);
            }
            way._reached.TrySetResult();
            return await new TaskCompletionSource<SendAnswer>().Task;
        }

        public ValueTask DisposeAsync() => inner.DisposeAsync();
    }
}
