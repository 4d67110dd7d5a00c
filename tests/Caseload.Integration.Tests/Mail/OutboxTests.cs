using System.Net;
using System.Net.Sockets;
using Caseload.Data.Mail;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Mail;
using MimeKit;
using SmtpServer.Protocol;

namespace Caseload.Integration.Tests.Mail;

/// <summary>What becomes of a message whatever the mail server does.</summary>
public sealed partial class OutboxTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Messages_ThatWait_AreSentOverOneConnectionAndMarked()
    {
        var steps = await MailSteps.MakeAsync(store);
        Guid[] ids = [await steps.WriteAsync(), await steps.WriteAsync(), await steps.WriteAsync()];
        await using var peer = new SmtpPeer();

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(3, 0, 0));
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));

        peer.TakenIds.ShouldBe(ids.Select(MailSteps.IdOf));
        peer.Sessions.ShouldBe(1);
        (await steps.ReadAllAsync()).ShouldAllBe(row =>
            row.SentAt == StoreFixture.NoonAt && row.NextTryAt == null && row.LeasedBy == null && row.AttemptCount == 1
        );
    }

    [Fact]
    [Trait("Requirement", "SEC-24")]
    public async Task Message_WhenSent_HasItsHeadersAndBothPartsWithMarksReplaced()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync(isOptional: true, subject: "Grüße\r\nBcc: somebody@example.net");
        await using var peer = new SmtpPeer();

        await steps.DispatchAsync(MailSteps.Way(peer.Port));

        var message = peer.Taken.ShouldHaveSingleItem();
        message.Subject.ShouldBe("Grüße Bcc: somebody@example.net");
        message.Bcc.ShouldBeEmpty();
        message.Headers.Contains(HeaderId.Bcc).ShouldBeFalse();
        message.MessageId.ShouldBe(MailSteps.IdOf(id));
        message.Date.ShouldBe((await steps.ReadAsync(id)).CreatedAt);
        message.From.ToString().ShouldBe("\"Caseload\" <caseload@example.org>");
        message.To.ToString().ShouldBe("ida@example.org");
        message.ReplyTo.ToString().ShouldBe("office@example.org");
        message.Headers[HeaderId.AutoSubmitted].ShouldBe("auto-generated");
        message.Headers[HeaderId.ListUnsubscribePost].ShouldBe("List-Unsubscribe=One-Click");
        var stop = message.Headers[HeaderId.ListUnsubscribe]!;
        stop.ShouldStartWith("<https://caseload.example.org/mail/stop/");
        stop = stop.Trim('<', '>');
        MailSteps.Links.Read(stop.Split('/')[^1])!.PersonId.ShouldBe(steps.Person.PersonId);

        var parts = message.Body.ShouldBeOfType<MultipartAlternative>().Cast<TextPart>().ToList();
        parts.Select(part => part.ContentType.MimeType).ShouldBe(["text/plain", "text/html"]);
        parts[0].Text.ReplaceLineEndings("\n").ShouldBe($"Open https://caseload.example.org/alerts\n\nStop: {stop}\n");
        parts[1].Text.ShouldContain("<a href=\"https://caseload.example.org/alerts\">https://caseload.example.org/alerts</a>");
        parts[1].Text.ShouldContain($"<a href=\"{stop}\">stop</a>");
    }

    [Fact]
    public async Task Message_ThatCannotBeStopped_OffersNoWayTo()
    {
        var steps = await MailSteps.MakeAsync(store);
        await steps.WriteAsync();
        await using var peer = new SmtpPeer();

        await steps.DispatchAsync(MailSteps.Way(peer.Port));

        var headers = peer.Taken.ShouldHaveSingleItem().Headers;
        headers.Contains(HeaderId.ListUnsubscribe).ShouldBeFalse();
        headers.Contains(HeaderId.ListUnsubscribePost).ShouldBeFalse();
    }

    [Fact]
    public async Task Recipient_RefusedForNow_IsTriedAgainAndTheOthersAreSent()
    {
        var steps = await MailSteps.MakeAsync(store);
        var busy = await steps.WriteAsync("busy.box@example.org");
        var other = await steps.WriteAsync();
        var isBusy = true;
        await using var peer = new SmtpPeer
        {
            OnRecipient = address =>
                isBusy && address.StartsWith("busy", StringComparison.Ordinal)
                    ? new SmtpResponse((SmtpReplyCode)450, "<busy.box@example.org> mailbox of busy.box is locked")
                    : null,
        };

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 1, 0));

        var row = await steps.ReadAsync(busy);
        row.NextTryAt.ShouldBe(StoreFixture.NoonAt.AddMinutes(1));
        row.LastError.ShouldStartWith("The mail server did not take it for now: 450 (address) mailbox of (address) is locked");
        row.LeasedBy.ShouldBeNull();
        (await steps.ReadAsync(other)).SentAt.ShouldNotBeNull();

        isBusy = false;
        steps.Time.Advance(TimeSpan.FromSeconds(59));
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));
        steps.Time.Advance(TimeSpan.FromSeconds(1));
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 0));
        row = await steps.ReadAsync(busy);
        (row.AttemptCount, row.LastError, row.SentAt).ShouldBe((2, null, steps.Time.GetUtcNow()));
    }

    [Fact]
    public async Task Recipient_RefusedForGood_IsParkedAtOnceWithTheReasonAndTheOthersAreSent()
    {
        var steps = await MailSteps.MakeAsync(store);
        var gone = await steps.WriteAsync("gone@example.org");
        var other = await steps.WriteAsync();
        await using var peer = new SmtpPeer
        {
            OnRecipient = address =>
                address.StartsWith("gone", StringComparison.Ordinal)
                    ? new SmtpResponse(SmtpReplyCode.MailboxUnavailable, "No such user gone@example.org")
                    : null,
        };

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 1));

        var row = await steps.ReadAsync(gone);
        (row.ParkedAt, row.NextTryAt, row.AttemptCount).ShouldBe((StoreFixture.NoonAt, null, 1));
        row.LastError.ShouldStartWith("The mail server refused the recipient: 550 No such user (address)");
        (await steps.ReadAsync(other)).SentAt.ShouldNotBeNull();
        string.Concat(steps.Log.Entries.Select(entry => entry.Message)).ShouldNotContain("gone");
    }

    [Fact]
    public async Task Message_RefusedForGood_IsParked()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        await using var peer = new SmtpPeer
        {
            OnTaken = (_, _) => Task.FromResult(new SmtpResponse(SmtpReplyCode.TransactionFailed, "looks like junk")),
        };

        await steps.DispatchAsync(MailSteps.Way(peer.Port));

        (await steps.ReadAsync(id)).LastError.ShouldBe("The mail server refused the message: 554 looks like junk");
    }

    [Fact]
    public async Task Server_ThatIsNotThere_CostsAnAttemptAndNothingElse()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        var port = SmtpPeer.FreePort();

        (await steps.DispatchAsync(MailSteps.Way(port))).ShouldBe(new DispatchCounts(0, 1, 0));

        (await steps.ReadAsync(id)).LastError.ShouldBe("Nothing answers at the mail server's address and port.");
    }

    [Fact]
    public async Task Server_ThatSaysNothing_IsLeftInTime()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();

        var sending = steps.DispatchAsync(MailSteps.Way(((IPEndPoint)silent.LocalEndpoint).Port, seconds: 2));
        (await sending.WaitAsync(TimeSpan.FromSeconds(20), Ct)).ShouldBe(new DispatchCounts(0, 1, 0));

        (await steps.ReadAsync(id)).LastError.ShouldBe("The mail server did not answer in time.");
    }

    [Fact]
    public async Task Server_ThatHangsAfterTheMessage_IsLeftInTimeAndTheRestOfTheBatchIsGivenBack()
    {
        var steps = await MailSteps.MakeAsync(store);
        var first = await steps.WriteAsync();
        var second = await steps.WriteAsync();
        await using var peer = new SmtpPeer
        {
            OnTaken = async (_, ct) =>
            {
                await Task.Delay(Timeout.Infinite, ct);
                return SmtpResponse.Ok;
            },
        };

        var counts = await steps.DispatchAsync(MailSteps.Way(peer.Port, seconds: 5)).WaitAsync(TimeSpan.FromSeconds(20), Ct);

        counts.ShouldBe(new DispatchCounts(0, 1, 0));
        (await steps.ReadAsync(first)).NextTryAt.ShouldBe(StoreFixture.NoonAt.AddMinutes(1));
        var untried = await steps.ReadAsync(second);
        (untried.AttemptCount, untried.LeasedBy, untried.NextTryAt).ShouldBe((0, null, untried.CreatedAt));
    }

    [Fact]
    public async Task Server_ThatDropsTheLineAfterTheMessage_GetsItOnceMoreUnderTheSameId()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        var drops = true;
        await using var peer = new SmtpPeer
        {
            OnTaken = (session, _) =>
            {
                if (drops)
                {
                    drops = false;
                    ((IDisposable)session.Pipe).Dispose();
                }
                return Task.FromResult(SmtpResponse.Ok);
            },
        };

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 1, 0));
        (await steps.ReadAsync(id)).LastError.ShouldBe("The connection to the mail server was lost.");
        steps.Time.Advance(TimeSpan.FromMinutes(1));
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 0));

        peer.TakenIds.ShouldBe([MailSteps.IdOf(id), MailSteps.IdOf(id)]);
    }

    [Fact]
    public async Task Message_TriedOftenEnough_IsParked()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        var way = MailSteps.Way(SmtpPeer.FreePort());
        var tries = 0;
        var sinceAt = steps.Time.GetUtcNow();

        while ((await steps.ReadAsync(id)).NextTryAt is { } nextTryAt)
        {
            steps.Time.SetUtcNow(nextTryAt > steps.Time.GetUtcNow() ? nextTryAt : steps.Time.GetUtcNow());
            await steps.DispatchAsync(way);
            (++tries).ShouldBeLessThan(100);
        }

        var row = await steps.ReadAsync(id);
        (row.AttemptCount, tries, row.ParkedAt is not null).ShouldBe((24, 24, true));
        // A server that fails on a Friday evening and is mended on Monday morning loses nothing.
        (row.ParkedAt!.Value - sinceAt).ShouldBeGreaterThan(TimeSpan.FromHours(60));
        row.LastError.ShouldBe("Nothing answers at the mail server's address and port.");
    }

    [Fact]
    public async Task Test_ThatFails_IsParkedAtOnceSoThatTheReasonIsSeen()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync(kind: MessageKind.Test);

        (await steps.DispatchAsync(MailSteps.Way(SmtpPeer.FreePort()))).ShouldBe(new DispatchCounts(0, 0, 1));

        (await steps.ReadAsync(id)).ParkedAt.ShouldNotBeNull();
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(2, 2)]
    [InlineData(3, 4)]
    [InlineData(8, 128)]
    [InlineData(9, 240)]
    [InlineData(23, 240)]
    public void Wait_AfterEachAttempt_DoublesUpToFourHours(int attempts, int minutes) =>
        RetryRule.WaitAfter(attempts).ShouldBe(TimeSpan.FromMinutes(minutes));

    [Fact]
    public async Task Recipient_WhoWasDisabledOrStoppedIt_GetsNothing()
    {
        var steps = await MailSteps.MakeAsync(store);
        var digest = await steps.WriteAsync(kind: MessageKind.Digest, isOptional: true);
        await using var peer = new SmtpPeer();
        await steps.ChangePersonAsync(person => person.WantsDigestMail = false);

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));
        (await steps.ReadAllAsync()).ShouldNotContain(row => row.Id == digest);

        var alert = await steps.WriteAsync();
        await steps.ChangePersonAsync(person => person.DisabledAt = StoreFixture.NoonAt);
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 1));
        (await steps.ReadAsync(alert)).LastError.ShouldBe("Its recipient was disabled before it was sent.");
        peer.Taken.ShouldBeEmpty();
    }

    [Fact]
    public async Task Address_ThatIsNone_IsParkedAndKeepsNobodyWaiting()
    {
        var steps = await MailSteps.MakeAsync(store);
        var wrong = await steps.WriteAsync("not an address");
        await steps.WriteAsync();
        await using var peer = new SmtpPeer();

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 1));

        (await steps.ReadAsync(wrong)).LastError.ShouldBe("Its address is none that mail can go to.");
    }

    [Fact]
    public async Task Message_OfAnotherProgramme_WaitsForItsOwnTurn()
    {
        var steps = await MailSteps.MakeAsync(store);
        var other = await MailSteps.MakeAsync(store);
        var id = await other.WriteAsync();
        await using var peer = new SmtpPeer();

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));

        (await other.ReadAsync(id)).AttemptCount.ShouldBe(0);
    }
}
