using Bunit;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;
using Caseload.Integration.Tests.Hardening;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Mail;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;
using Caseload.Web.Platform.Mail;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using MudBlazor.Services;

namespace Caseload.Integration.Tests.Mail;

/// <summary>The pages about mail, on real use cases.</summary>
public sealed class MailPageTests(StoreFixture store) : IClassFixture<StoreFixture>, IAsyncDisposable
{
    private readonly BunitContext _browser = new();
    private readonly string _data = Directory.CreateTempSubdirectory("caseload-mail-").FullName;

    // The first page of a run takes long on a busy machine.
    static MailPageTests() => BunitContext.DefaultWaitTimeout = TimeSpan.FromSeconds(20);

    private static CancellationToken Ct => Xunit.TestContext.Current.CancellationToken;

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        Directory.Delete(_data, recursive: true);
    }

    [Fact]
    public async Task Test_SentWithoutAMailServer_EndsInAFileAndSaysSo()
    {
        var steps = await MailSteps.MakeAsync(store, Role.Administrator);
        var page = Open<MailPage>(steps.Person, steps);
        page.WaitForElement("#test-address");
        page.Markup.ShouldContain("Nothing leaves this machine");
        page.Markup.ShouldContain(Path.Combine(_data, "mail"));

        await page.Find("#test-address").InputAsync(new() { Value = "nobody" });
        await Button(page, "Send a test message").ClickAsync(new());
        page.WaitForAssertion(() => page.Find("#test-address-problem").TextContent.ShouldContain("no e-mail address"));
        await page.Find("#test-address").InputAsync(new() { Value = "ida@example.org" });
        var sending = Button(page, "Send a test message").ClickAsync(new());
        page.WaitForAssertion(() => page.Markup.ShouldContain("Sending…"));
        var folder = new MailFolder(_data);
        (await steps.DispatchAsync(folder)).ShouldBe(new DispatchCounts(1, 0, 0));
        steps.Time.Advance(TimeSpan.FromSeconds(1));
        await sending;

        page.WaitForAssertion(() => page.Markup.ShouldContain("Written to a file. Set a mail server to have it sent."));
        page.Find("[aria-label=Sent] tbody tr").TextContent.ShouldContain("Ida Invented");
        page.Markup.ShouldContain("1 .eml file");
        var message = await MimeKit.MimeMessage.LoadAsync(Directory.GetFiles(folder.Place).Single(), Ct);
        message.Subject.ShouldBe(SendTestMessageHandler.Subject);
        message.TextBody!.ShouldContain("Ida Invented asked for it on 25 Nov 2026, 18:00.");
        (await WordsAsync(steps)).ShouldContain("test-message-written");
    }

    [Fact]
    public async Task Parked_ShowsTheReasonAndNotWhatItSays_AndIsTriedAgainOrGivenUp()
    {
        var steps = await MailSteps.MakeAsync(store, Role.Administrator);
        var first = await steps.WriteAsync("first", subject: "About a child");
        await steps.WriteAsync("second", subject: "About a child");
        await steps.WriteAsync("third", MessageKind.Test);
        await steps.DispatchAsync(new MailFolder(_data));
        var page = Open<MailPage>(steps.Person, steps);
        page.WaitForElement(".parked");

        page.FindAll(".parked li").Count.ShouldBe(3);
        page.FindAll(".parked .reason").ShouldAllBe(reason => reason.TextContent == "Its address is none that mail can go to.");
        page.FindAll(".parked pre").Count.ShouldBe(1);
        page.Markup.ShouldNotContain("About a child");
        var told = store.MessagesTold;
        await Button(page, "Try all again").ClickAsync(new());
        page.WaitForAssertion(() => page.FindAll(".parked li").ShouldBeEmpty());
        store.MessagesTold.ShouldBe(told + 1);
        (await steps.ReadAllAsync()).ShouldAllBe(row => row.AttemptCount == 0 && row.NextTryAt == steps.Time.GetUtcNow());

        await steps.DispatchAsync(new MailFolder(_data));
        await Button(page, "Refresh").ClickAsync(new());
        (await steps.ReadAllAsync()).ShouldAllBe(row => row.ParkedAt != null);
        page.WaitForAssertion(() => page.Markup.ShouldContain("class=\"parked\""));
        var kept = page.FindAll(".parked li").Count;
        await page.FindAll(".parked button")
            .First(button => button.TextContent.StartsWith("Give up", StringComparison.Ordinal))
            .ClickAsync(new());
        (await steps.ReadAllAsync()).Count.ShouldBe(kept);
        await page.FindAll(".parked button")
            .Single(button => button.TextContent.StartsWith("Yes, remove", StringComparison.Ordinal))
            .ClickAsync(new());

        page.WaitForAssertion(() => page.FindAll(".parked li").Count.ShouldBe(kept - 1));
        (await steps.ReadAllAsync()).Count.ShouldBe(kept - 1);
        (await WordsAsync(steps)).ShouldContain("messages-retried");
        (await WordsAsync(steps)).ShouldContain("message-given-up");
        first.ShouldNotBe(Guid.Empty);
    }

    [Fact]
    public async Task GivingUp_WhatIsNotParked_ChangesNothing()
    {
        var steps = await MailSteps.MakeAsync(store, Role.Administrator);
        var waiting = await steps.WriteAsync();

        (await new GiveUpMessageHandler(store.Db, steps.Time).HandleAsync(steps.Person, new GiveUpMessage(waiting), Ct)).ShouldBeFalse();

        (await steps.ReadAllAsync()).ShouldHaveSingleItem();
        (await WordsAsync(steps)).ShouldNotContain("message-given-up");
    }

    [Fact]
    public async Task OwnMail_IsListedAndOpenedAsItWasSent_AndTheDigestIsTurnedOff()
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync(subject: "Your week");
        await steps.DispatchAsync(new MailFolder(_data));
        var list = Open<OwnMailPage>(steps.Person, steps);
        list.WaitForElement(".messages a");

        list.Find(".messages a").GetAttribute("href").ShouldBe($"mail/mine/{id}");
        list.Find(".messages li").TextContent.ShouldContain("Sent");
        list.Markup.ShouldContain("no e-mail address in your account");
        await list.Find("input[type=checkbox]").ChangeAsync(new() { Value = false });
        list.WaitForAssertion(() => list.Find("[role=status]").TextContent.ShouldContain("does not come by mail"));
        await using (var context = store.Db.ForJob("test", steps.ProgrammeId))
        {
            (await context.People.SingleAsync(row => row.Id == steps.Person.PersonId, Ct)).WantsDigestMail.ShouldBeFalse();
        }

        var message = _browser.Render<OwnMessagePage>(page => page.Add(p => p.Id, id));
        message.WaitForElement("pre");
        message.Find("h1").TextContent.ShouldBe("Your week");
        message.Find("pre").TextContent.ShouldContain("Open https://caseload.example.org/alerts");
        var frame = message.Find("iframe");
        frame.GetAttribute("sandbox").ShouldBe("");
        frame.GetAttribute("srcdoc")!.ShouldContain("<a href=\"https://caseload.example.org/alerts\">");
        (await WordsAsync(steps)).ShouldContain("message-opened");
        (await WordsAsync(steps)).ShouldContain("account-digest-mail-off");
    }

    [Theory]
    [Trait("Requirement", "SEC-02")]
    [InlineData(Role.Clinician)]
    [InlineData(Role.TeamLead)]
    [InlineData(Role.Administrator)]
    public async Task Message_ToSomebodyElse_IsOpenedByNobody(Role role)
    {
        var steps = await MailSteps.MakeAsync(store);
        var id = await steps.WriteAsync();
        var other = await store.AddPersonAsync(steps.ProgrammeId, [role], "Odd One");

        (
            await new GetOwnMessageHandler(store.Db, MailSteps.Composer, steps.Time).HandleAsync(other, new GetOwnMessage(id), Ct)
        ).ShouldBeNull();
        (await new ListOwnMessagesHandler(store.Db, steps.Time).HandleAsync(other, new ListOwnMessages(), Ct)).Rows.ShouldBeEmpty();
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Rows_AskedForInSql_AreSeenByTheirPersonAndTheAdministrator_AndChangedByNoClinician()
    {
        var steps = await MailSteps.MakeAsync(store);
        await steps.WriteAsync();
        var other = await store.AddPersonAsync(steps.ProgrammeId, [Role.Clinician], "Odd One");
        var administrator = await store.AddPersonAsync(steps.ProgrammeId, [Role.Administrator], "Ada Minister");

        (await CountAsync(steps.Person)).ShouldBe((1, 0, 0));
        (await CountAsync(other)).ShouldBe((0, 0, 0));
        (await CountAsync(store.LeadA)).ShouldBe((0, 0, 0));
        (await CountAsync(administrator)).ShouldBe((1, 1, 0));

        async Task<(int Seen, int Changed, int Removed)> CountAsync(Actor actor)
        {
            await using var context = await store.Db.EnterAsync(actor, Permission.KeepOwnAccount, Ct);
            return (
                await context.OutgoingMessages.CountAsync(Ct),
                await context.OutgoingMessages.ExecuteUpdateAsync(set => set.SetProperty(row => row.AttemptCount, 0), Ct),
                await context.OutgoingMessages.ExecuteDeleteAsync(Ct)
            );
        }
    }

    private static AngleSharp.Dom.IElement Button<T>(IRenderedComponent<T> page, string text)
        where T : IComponent => page.FindAll("button").Single(button => button.TextContent.Trim() == text);

    private IRenderedComponent<T> Open<T>(Actor actor, MailSteps steps)
        where T : IComponent
    {
        _browser.JSInterop.Mode = JSRuntimeMode.Loose;
        _browser.Services.AddMudServices();
        _browser.Services.AddSingleton(store.Db);
        _browser.Services.AddSingleton<TimeProvider>(steps.Time);
        _browser.Services.AddSingleton(MailSteps.Address);
        _browser.Services.AddSingleton<IDataProtectionProvider>(new EphemeralDataProtectionProvider());
        _browser.Services.AddSingleton<JobSignal>();
        _browser.Services.AddMail(MailSettings.Read(HardenedSite.Settings(), MailSteps.Address), _data);
        _browser.Services.AddSingleton(new FailureLog(NullLogger<FailureLog>.Instance, steps.Time));
        _browser.Services.AddSingleton<ActorSource>();
        _browser.Services.AddSingleton<AuthenticationStateProvider>(new SignedIn(actor));
        _browser.RenderTree.Add<CascadingValue<Actor>>(cascade => cascade.Add(value => value.Value, actor));
        foreach (
            var handler in typeof(MailPage)
                .Assembly.GetTypes()
                .Where(type => type.Namespace == typeof(MailPage).Namespace && type.Name.EndsWith("Handler", StringComparison.Ordinal))
        )
        {
            _browser.Services.AddSingleton(handler);
        }
        return _browser.Render<T>();
    }

    private async Task<List<string>> WordsAsync(MailSteps steps)
    {
        await using var context = store.Db.ForJob("test", steps.ProgrammeId);
        return await context.AccessEntries.Select(entry => entry.What).ToListAsync(Ct);
    }
}
