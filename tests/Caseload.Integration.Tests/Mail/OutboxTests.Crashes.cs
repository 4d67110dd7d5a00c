using System.Diagnostics;
using Caseload.Data.Mail;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Mail;
using SmtpServer.Protocol;

namespace Caseload.Integration.Tests.Mail;

/// <summary>Processes that end in the middle, and several at work at once.</summary>
public sealed partial class OutboxTests
{
    [Fact]
    public async Task Process_ThatEndsBetweenClaimAndSending_LosesNothing()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        await using var peer = new SmtpPeer();
        var dead = new DeadWay(MailSteps.Way(peer.Port), isAfterTaking: false);
        _ = steps.DispatchAsync(dead);
        await dead.Reached.WaitAsync(TimeSpan.FromSeconds(20), Ct);

        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));
        (await steps.ReadAsync(id)).LeasedBy.ShouldNotBeNull();
        steps.Time.Advance(OutboxDispatcher.Lease);
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 0));

        peer.TakenIds.ShouldBe([MailSteps.IdOf(id)]);
    }

    [Fact]
    public async Task Process_ThatEndsBetweenSendingAndMarking_RepeatsTheMessageOnceUnderTheSameId()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        await using var peer = new SmtpPeer();
        var dead = new DeadWay(MailSteps.Way(peer.Port), isAfterTaking: true);
        _ = steps.DispatchAsync(dead);
        await dead.Reached.WaitAsync(TimeSpan.FromSeconds(20), Ct);

        steps.Time.Advance(OutboxDispatcher.Lease);
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(1, 0, 0));
        steps.Time.Advance(OutboxDispatcher.Lease);
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(0, 0, 0));

        peer.TakenIds.ShouldBe([MailSteps.IdOf(id), MailSteps.IdOf(id)]);
        (await steps.ReadAsync(id)).AttemptCount.ShouldBe(2);
    }

    [Fact]
    public async Task Process_KilledWhileTheServerTakesAMessage_RepeatsThatOneAndLosesNone()
    {
        var steps = await MailSteps.MakeAsync(store);
        Guid[] ids = [await steps.WriteAsync(), await steps.WriteAsync(), await steps.WriteAsync()];
        var killed = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        await using var peer = new SmtpPeer();
        peer.OnTaken = async (_, _) =>
        {
            if (peer.Taken.Count == 2)
            {
                await killed.Task;
            }
            return SmtpResponse.Ok;
        };
        using (var process = SenderProcess.Start(store.Database.AppConnectionString, steps.ProgrammeId, peer.Port))
        {
            while (peer.Taken.Count < 2)
            {
                process.HasExited.ShouldBeFalse();
                await Task.Delay(20, Ct);
            }
            process.Kill();
            await process.WaitForExitAsync(Ct);
        }
        killed.SetResult();

        (await steps.ReadAllAsync()).Count(row => row.SentAt != null).ShouldBe(1);
        // The killed process went by the real clock.
        steps.Time.SetUtcNow(TimeProvider.System.GetUtcNow() + OutboxDispatcher.Lease);
        (await steps.DispatchAsync(MailSteps.Way(peer.Port))).ShouldBe(new DispatchCounts(2, 0, 0));

        peer.TakenIds.ShouldBe([.. ids[..2].Select(MailSteps.IdOf), .. ids[1..].Select(MailSteps.IdOf)]);
        (await steps.ReadAllAsync()).ShouldAllBe(row => row.SentAt != null && row.LeasedBy == null);
    }

    [Fact]
    public async Task Dispatchers_AtWorkAtOnce_SendEachMessageOnce()
    {
        var steps = await MailSteps.MakeAsync(store);
        var ids = new List<Guid>();
        for (var count = 0; count < 45; count++)
        {
            ids.Add(await steps.WriteAsync());
        }
        await using var peer = new SmtpPeer();

        var counts = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => steps.DispatchAsync(MailSteps.Way(peer.Port))));

        counts.Sum(count => count.Sent).ShouldBe(45);
        counts.Count(count => count.Sent > 0).ShouldBeGreaterThan(1);
        peer.TakenIds.Order().ShouldBe(ids.Select(MailSteps.IdOf).Order());
    }

    [Fact]
    public async Task Claim_ThatWasTakenOver_CannotPostponeOrPark_ButCanSayThatItWasSent()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        var at = StoreFixture.NoonAt;
        await using var context = store.Db.ForJob("test", steps.ProgrammeId);
        var slow = (await MessageClaims.TakeAsync(context, "slow:1", at, at.AddMinutes(1), 10, Ct)).ShouldHaveSingleItem();
        await using var other = store.Db.ForJob("test", steps.ProgrammeId);
        (await MessageClaims.TakeAsync(other, "quick:2", at.AddMinutes(1), at.AddMinutes(2), 10, Ct)).ShouldHaveSingleItem();

        await MessageClaims.PostponeAsync(context, slow, at.AddDays(1), "too late", Ct);
        await MessageClaims.ParkAsync(context, slow, at, "too late", Ct);
        await MessageClaims.ReleaseAsync(context, slow, Ct);

        var row = await steps.ReadAsync(id);
        (row.LeasedBy, row.AttemptCount, row.LastError, row.NextTryAt).ShouldBe(("quick:2", 2, null, row.CreatedAt));
        await MessageClaims.MarkSentAsync(context, id, at, Ct);
        (await steps.ReadAsync(id)).SentAt.ShouldBe(at);
    }

    [Fact]
    public async Task Program_ThatIsToldToStop_FinishesTheMessageAndGivesBackTheRestUntried()
    {
        var steps = await MailSteps.MakeAsync(store);
        var first = await steps.WriteAsync();
        var second = await steps.WriteAsync();
        using var stop = new CancellationTokenSource();
        await using var peer = new SmtpPeer
        {
            OnTaken = async (_, _) =>
            {
                await stop.CancelAsync();
                return SmtpResponse.Ok;
            },
        };

        await Should.ThrowAsync<OperationCanceledException>(() =>
            steps.Dispatcher(MailSteps.Way(peer.Port)).RunAsync(steps.ProgrammeId, stop.Token)
        );

        (await steps.ReadAsync(first)).SentAt.ShouldNotBeNull();
        var untried = await steps.ReadAsync(second);
        (untried.SentAt, untried.LeasedBy, untried.AttemptCount, untried.NextTryAt).ShouldBe((null, null, 0, untried.CreatedAt));
    }

    [Fact]
    public async Task Messages_WhenTheirTransactionIsCommitted_AreToldOf_AndNotBefore()
    {
        var steps = await MailSteps.MakeAsync(store);
        var told = store.MessagesTold;

        await steps.WriteAsync();
        store.MessagesTold.ShouldBe(told + 1);
        await using (var context = store.Db.ForJob("test", steps.ProgrammeId))
        {
            await using var transaction = await context.Database.BeginTransactionAsync(Ct);
            Announce(context, "rolled-back");
            await context.SaveChangesAsync(Ct);
            await transaction.RollbackAsync(Ct);
        }
        store.MessagesTold.ShouldBe(told + 1);
        await using (var context = store.Db.ForJob("test", steps.ProgrammeId))
        {
            await using var transaction = await context.Database.BeginTransactionAsync(Ct);
            Announce(context, "committed");
            await context.SaveChangesAsync(Ct);
            store.MessagesTold.ShouldBe(told + 1);
            await transaction.CommitAsync(Ct);
        }
        store.MessagesTold.ShouldBe(told + 2);
        await steps.ChangePersonAsync(person => person.Name = "Ida Renamed");
        store.MessagesTold.ShouldBe(told + 2);
        (await steps.ReadAllAsync()).Select(row => row.Key).ShouldBe(["committed", "test/0"]);

        void Announce(Data.CaseloadDbContext context, string key) =>
            OutgoingMessages.Announce(
                context,
                new MessageRecipient(steps.Person.PersonId, "ida@example.org"),
                MessageKind.Alert,
                key,
                new MessageContent("Subject", "Text", null),
                isOptional: false,
                StoreFixture.NoonAt
            );
    }

    [Fact]
    public async Task Recipient_WithoutAnAddress_IsPassedOver()
    {
        await using var context = store.ContextA();

        OutgoingMessages
            .Announce(
                context,
                new MessageRecipient(store.LeadA.PersonId, " "),
                MessageKind.Alert,
                "no-address",
                new MessageContent("Subject", "Text", null),
                isOptional: false,
                StoreFixture.NoonAt
            )
            .ShouldBeFalse();

        context.ChangeTracker.Entries().ShouldBeEmpty();
    }
}
