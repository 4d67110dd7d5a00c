using AngleSharp.Dom;
using Bunit;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Components.Panels;
using Caseload.Web.Features.Alerts;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;

namespace Caseload.Integration.Tests.Alerts;

public sealed class AlertsPageTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly BunitContext _browser = new();
    private readonly StoreFixture _store = new(postgres);
    private AlertSteps _steps = null!;

    private static CancellationToken Ct => Xunit.TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await _store.InitializeAsync();
        _steps = new AlertSteps(_store);
        _browser.JSInterop.Mode = JSRuntimeMode.Loose;
        _browser.Services.AddSingleton(_store.Db);
        _browser.Services.AddSingleton(_store.Library);
        _browser.Services.AddSingleton(_store.Statuses);
        _browser.Services.AddSingleton<TimeProvider>(_store.Time);
        _browser.Services.AddSingleton(_steps.Notifier);
        _browser.Services.AddSingleton(new FailureLog(NullLogger<FailureLog>.Instance, _store.Time));
        _browser.Services.AddSingleton<ActorSource>();
        WebHost.AddHandlers(_browser.Services);
        SignIn(_store.LeadA);
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        await _store.DisposeAsync();
    }

    [Fact]
    public async Task Page_Always_GroupsByChildWithTheWorstFirst()
    {
        var (mild, bad) = (await _steps.AddChildAsync(givenName: "Wilbur"), await _steps.AddChildAsync(givenName: "Twyla"));
        await _steps.AddAsync(mild);
        await _steps.AddAsync(bad, AlertKind.DeadlinePassed, Concern.Watch, "galant");
        await _steps.AddAsync(
            bad,
            AlertKind.Returned,
            Concern.SameDay,
            "rooting",
            alert => alert.AnswerBy = StoreFixture.NoonAt.AddHours(-3)
        );

        var page = Open();

        page.FindAll(".alert-head h2").Select(Words).ShouldBe(["Twyla Family", "Wilbur Family"]);
        page.FindAll(".alert-group")[0].TextContent.ShouldContain(bad.Code);
        var lines = page.FindAll(".alert-title").Select(Words).ToList();
        lines[0].ShouldStartWith("Same day Rooting: back after it had gone since 4 Nov 2026, 3 weeks · overdue 3 hours");
        lines[1].ShouldStartWith("Watch Galant");
        lines[2].ShouldStartWith("Advisory Moro: still there past the usual age since 4 Nov 2026, 3 weeks · answer by");
        page.FindAll(".alert-title .overdue").Count.ShouldBe(1);
    }

    [Fact]
    public async Task Selection_OfAChild_AcknowledgesItsAlertsTogether()
    {
        var child = await _steps.AddChildAsync();
        Alert[] alerts = [await _steps.AddAsync(child), await _steps.AddAsync(child, item: "galant")];
        // Alerts of the same instant stand in any order, so the other one is told apart by its words.
        var left = await _steps.AddAsync(await _steps.AddChildAsync(givenName: "Other"), item: "atnr");
        var page = Open();

        await Box(page, "Select every alert of Given Family").ChangeAsync(new() { Value = true });
        Words(page.Find(".alert-bar")).ShouldStartWith("2 selected");
        await Box(page, "Select: Moro: still there past the usual age").ChangeAsync(new() { Value = false });
        Words(page.Find(".alert-bar")).ShouldStartWith("1 selected");
        await Box(page, "Select: Moro: still there past the usual age").ChangeAsync(new() { Value = true });
        await Button(page, "Acknowledge", ".alert-bar").ClickAsync(new());

        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(1));
        page.Find("[role=status]").TextContent.ShouldBe("Acknowledged: 2 alerts.");
        page.FindAll(".alert-bar").ShouldBeEmpty();
        foreach (var alert in alerts)
        {
            (await _steps.ReadAsync(alert)).State.ShouldBe(AlertState.Acknowledged);
        }
        (await _steps.ReadAsync(left)).State.ShouldBe(AlertState.Open);
    }

    [Fact]
    public async Task WhatWasDone_Entered_IsSavedWithDayAndNote()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var page = Open();

        await Button(page, "What was done: Moro: still there past the usual age").ClickAsync(new());
        await Button(page, "Save what was done").ClickAsync(new());
        page.WaitForAssertion(() => page.Find("#answer-action-problem").TextContent.ShouldBe("Choose what was done."));
        await page.Find("input[name=answer-action][value=told-physician]").ChangeAsync(new() { Value = "on" });
        await page.Find("#answer-note").InputAsync(new() { Value = "By telephone" });
        await Button(page, "Save what was done").ClickAsync(new());

        page.WaitForAssertion(() => page.FindAll(".answer-panel").ShouldBeEmpty());
        var step = (await _steps.ReadAsync(alert)).Steps.Single();
        (step.What, step.On, step.Note).ShouldBe((AlertStepKind.ToldPhysician, StoreFixture.TodayOn, "By telephone"));
    }

    [Fact]
    public async Task SetAside_WhenSomebodyElseWasFirst_KeepsWhatWasTypedAndGoesThroughAfterwards()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var page = Open();
        await Button(page, "Set aside: Moro: still there past the usual age").ClickAsync(new());
        await Button(page, "In 2 weeks").ClickAsync(new());
        await page.Find("#answer-note").InputAsync(new() { Value = "The family is away" });
        var ines = await _store.AddPersonAsync(_store.ProgrammeA, [Role.TeamLead], "Ines Abbott");
        await new AlertSteps(_store).AnswerAsync(ines, AlertSteps.Acknowledge, alert);

        await Button(page, "Set aside", ".answer-panel").ClickAsync(new());

        // The alert is no longer on the list of open ones; the answer is, below it.
        page.WaitForAssertion(() => page.Find(".alert-bar .problem").TextContent.ShouldContain("(acknowledged, by Ines Abbott)"));
        page.FindAll(".alert-title").ShouldBeEmpty();
        page.Find("#answer-note").GetAttribute("value").ShouldBe("The family is away");
        await Button(page, "Set aside", ".answer-panel").ClickAsync(new());
        page.WaitForAssertion(() => page.FindAll(".answer-panel").ShouldBeEmpty());
        var saved = await _steps.ReadAsync(alert);
        (saved.State, saved.BackOn).ShouldBe((AlertState.SetAside, StoreFixture.TodayOn.AddDays(14)));
    }

    [Fact]
    public async Task Answer_WhenItFails_KeepsTheText()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var page = Open();
        await Button(page, "Set aside: Moro: still there past the usual age").ClickAsync(new());
        await Button(page, "In a week").ClickAsync(new());
        await page.Find("#answer-note").InputAsync(new() { Value = "The family is away" });
        await _store.AskOwnerAsync("alter table alert_steps rename to alert_steps_gone");

        await Button(page, "Set aside", ".answer-panel").ClickAsync(new());

        page.WaitForAssertion(() => page.Find(".answer-panel .problem").TextContent.ShouldContain("could not be saved"));
        page.Find("#answer-note").GetAttribute("value").ShouldBe("The family is away");
        await _store.AskOwnerAsync("alter table alert_steps_gone rename to alert_steps");
        await Button(page, "Set aside", ".answer-panel").ClickAsync(new());
        page.WaitForAssertion(() => page.FindAll(".answer-panel").ShouldBeEmpty());
        (await _steps.ReadAsync(alert)).Steps.Count.ShouldBe(1);
    }

    [Fact]
    public async Task Keys_Always_MoveSelectOpenAndAcknowledge()
    {
        var child = await _steps.AddChildAsync();
        var first = await _steps.AddAsync(child, severity: Concern.Act);
        var second = await _steps.AddAsync(child, item: "galant");
        var page = Open();
        var board = page.FindComponent<AlertBoard>();

        await PressAsync("j");
        await PressAsync("ArrowDown");
        await PressAsync("j");
        Focused().ShouldBe([$"alert-{first.Id}", $"alert-{second.Id}", $"alert-{second.Id}"]);
        await PressAsync("k");
        Focused()[^1].ShouldBe($"alert-{first.Id}");
        await PressAsync("x");
        Words(page.Find(".alert-bar")).ShouldStartWith("1 selected");
        await PressAsync("o");
        page.WaitForElement(".alert-detail");
        await PressAsync("?");
        page.Find("#alert-keys").TextContent.ShouldContain("acknowledge it");
        await PressAsync("a");

        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(1));
        (await _steps.ReadAsync(first)).State.ShouldBe(AlertState.Acknowledged);
        (await _steps.ReadAsync(second)).State.ShouldBe(AlertState.Open);
        page.WaitForAssertion(() => Focused()[^1].ShouldBe($"alert-{second.Id}"));

        Task PressAsync(string key) => page.InvokeAsync(() => board.Instance.KeyAsync(key));

        List<string> Focused() =>
            [.. _browser.JSInterop.Invocations["caseload.focus"].Select(invocation => (string)invocation.Arguments[0]!)];
    }

    [Fact]
    public async Task Detail_Opened_TellsWhyWhatToDoAndWhoIsTold()
    {
        await _steps.AddAsync(await _steps.AddChildAsync(), AlertKind.UrgentSign, Concern.SameDay, "unexplained-injury");
        var page = Open();

        await page.Find(".alert-title").ClickAsync(new());

        var detail = Words(page.WaitForElement(".alert-detail"));
        detail.ShouldContain("The usual deadline is past.SHERRY");
        detail.ShouldContain("Tell: the safeguarding route. Immediately.");
        detail.ShouldContain("Common practice, no source: follow your local protocol.");
        detail.ShouldContain("At once: the responsible clinician");
        detail.ShouldContain("Raised by the rules");
        page.Find(".source-key").GetAttribute("href").ShouldBe("reference/sources?find=SHERRY");
        page.Find(".alert-title").GetAttribute("aria-expanded").ShouldBe("true");
    }

    [Fact]
    public void Page_WithoutAnyAlert_SaysWhyItIsEmpty()
    {
        var page = Open(isEmpty: true);

        page.Find("h2").TextContent.ShouldBe("Nothing waits for an answer");
        page.Markup.ShouldContain("No alert stands for the children you reach.");
    }

    [Fact]
    public async Task Page_WhereEverythingIsAnswered_LeadsToWhatStands()
    {
        await _steps.AddAsync(
            await _steps.AddChildAsync(),
            change: alert => (alert.State, alert.AnswerBy) = (AlertState.Acknowledged, null)
        );
        var page = Open(isEmpty: true);

        page.Markup.ShouldContain("Every alert has an answer. 1 alert still stands");
        await Button(page, "Show all that stand").ClickAsync(new());

        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(1));
        Address().ShouldEndWith("?show=standing");
    }

    [Fact]
    public async Task Filters_Chosen_StandInTheAddressAndNoNameDoes()
    {
        var child = await _steps.AddChildAsync(givenName: "Twyla");
        await _steps.AddAsync(child, severity: Concern.Act);
        await _steps.AddAsync(await _steps.AddChildAsync(givenName: "Wilbur"), AlertKind.OneSided, Concern.Act);
        var page = Open();

        await page.Find("#alerts-severity").ChangeAsync(new() { Value = "act" });
        await page.Find("#alerts-kind").ChangeAsync(new() { Value = "persisting" });
        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(1));
        Address().ShouldContain("kind=persisting");
        Address().ShouldContain("severity=act");
        page.Find("#alerts-kind").TextContent.ShouldContain("One-sided (1)");

        await page.Find("#alerts-search").ChangeAsync(new() { Value = "Wilbur" });
        page.WaitForAssertion(() => page.Markup.ShouldContain("No alert here"));
        Address().ShouldNotContain("Wilbur");
        await Button(page, "Show every child, severity and kind").ClickAsync(new());
        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(2));
    }

    [Fact]
    public async Task Page_WhenAlertsChangeElsewhere_FollowsAtOnceOrWithinTheMinute()
    {
        var child = await _steps.AddChildAsync();
        await _steps.AddAsync(child);
        var page = Open();
        var badge = _browser.Render<AlertsBadge>(parameters => parameters.Add(shown => shown.Actor, _store.LeadA));
        badge.WaitForAssertion(() => badge.Find(".rail-badge").TextContent.ShouldBe("1, 1 open"));

        await _steps.AddAsync(child, AlertKind.Returned, Concern.SameDay, "rooting");
        _steps.Notifier.Changed(_store.ProgrammeA);
        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(2));
        badge.WaitForAssertion(() => badge.Find(".rail-badge").TextContent.ShouldBe("! 2, 2 open, 1 to be answered the same day"));

        await _steps.AddAsync(child, AlertKind.OneSided, Concern.Act, "atnr");
        _store.Time.Advance(TimeSpan.FromSeconds(61));
        page.WaitForAssertion(() => page.FindAll(".alert-title").Count.ShouldBe(3));
        badge.WaitForAssertion(() => badge.Find(".rail-badge").TextContent.ShouldStartWith("! 3"));
    }

    [Fact]
    public async Task Page_WhenNothingChanged_AsksForNoListAgain()
    {
        await _steps.AddAsync(await _steps.AddChildAsync());
        var page = Open();
        _steps.Notifier.Changed(_store.ProgrammeA);
        _store.Time.Advance(TimeSpan.FromSeconds(61));
        await Task.Delay(TimeSpan.FromSeconds(1), Ct);

        page.FindAll(".alert-title").Count.ShouldBe(1);
        (await _steps.EntriesOfAsync(_store.LeadA)).Count(entry => entry.What == "alerts-listed").ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-03")]
    public async Task Page_ForAnObserver_OffersNothingToChange()
    {
        await _steps.AddAsync(await _steps.AddChildAsync());
        SignIn(await _store.AddPersonAsync(_store.ProgrammeA, [Role.Observer]));
        var page = Open();

        page.FindAll(".alert-actions, .alert-check").ShouldBeEmpty();
        await page.InvokeAsync(() => page.FindComponent<AlertBoard>().Instance.KeyAsync("j"));
        await page.InvokeAsync(() => page.FindComponent<AlertBoard>().Instance.KeyAsync("x"));
        page.FindAll(".alert-bar").ShouldBeEmpty();
    }

    [Fact]
    public async Task Page_WhenTheRightIsWithdrawn_SaysSoAtTheNextAnswer()
    {
        var lead = await _store.AddPersonAsync(_store.ProgrammeA, [Role.TeamLead]);
        SignIn(lead);
        var alert = await _steps.AddAsync(await _steps.AddChildAsync());
        var page = Open();
        await using (var context = _store.ContextA())
        {
            (await context.People.SingleAsync(row => row.Id == lead.PersonId, Ct)).Roles = [Role.Observer];
            await context.SaveChangesAsync(Ct);
        }

        await Button(page, "Acknowledge: Moro: still there past the usual age").ClickAsync(new());

        page.WaitForAssertion(() => page.Find("p.problem").TextContent.ShouldContain("You may not do this"));
        (await _steps.ReadAsync(alert)).State.ShouldBe(AlertState.Open);
    }

    [Fact]
    public async Task ChildPanel_Always_ShowsWhatStandsAndFoldsWhatClosed()
    {
        var child = await _steps.AddChildAsync();
        await _steps.AddAsync(child, change: alert => (alert.State, alert.AnswerBy) = (AlertState.Acknowledged, null));
        await _steps.AddAsync(
            child,
            item: "galant",
            change: alert =>
                (alert.State, alert.AnswerBy, alert.ClosedAt, alert.ClosedBecause) = (
                    AlertState.Closed,
                    null,
                    StoreFixture.NoonAt.AddDays(-200),
                    AlertEnd.NewFinding
                )
        );
        var panel = _browser.Render<ChildAlerts>(parameters => parameters.Add(shown => shown.ChildId, child.Id));

        panel.WaitForAssertion(() => panel.FindAll(".alert-title").Count.ShouldBe(1));
        panel.FindAll(".alert-actions button").Select(button => Words(button).Split(':')[0]).ShouldBe(["What was done", "Set aside"]);
        await panel.FindAll("button").Single(button => Words(button) == "Show 1 alert that closed").ClickAsync(new());

        panel.WaitForAssertion(() => panel.FindAll(".alert-title").Count.ShouldBe(2));
        Words(panel.FindAll(".alert-title")[1]).ShouldContain("closed 9 May 2026: a finding says otherwise");
        panel.FindAll(".closed .alert-actions").ShouldBeEmpty();
    }

    [Fact]
    public async Task SignsPanel_BesideAVisit_RecordsAtOnceAndSaysWhatToDo()
    {
        var child = await _steps.AddChildAsync();
        var panel = _browser.Render<ChildSigns>(parameters => parameters.Add(shown => shown.ChildId, child.Id));
        panel.WaitForAssertion(() => panel.Markup.ShouldContain("A sign is saved at once, not with the visit"));

        await panel.FindAll("button").Single(button => Words(button) == "Record a sign…").ClickAsync(new());
        await panel.Find("#sign").ChangeAsync(new() { Value = "apnoea" });
        await panel.FindAll("button").Single(button => Words(button) == "Record this sign").ClickAsync(new());

        panel.WaitForAssertion(() => panel.Find(".response").TextContent.ShouldContain("Tell the urgent medical route, the same day."));
        await using var context = _store.ContextA();
        (await context.Signs.SingleAsync(row => row.ChildId == child.Id, Ct)).Sign.ShouldBe(UrgentSign.Apnoea);
        await panel
            .FindAll("button")
            .Single(button => Words(button).StartsWith("Mark settled", StringComparison.Ordinal))
            .ClickAsync(new());
        panel.WaitForAssertion(() => panel.Markup.ShouldContain("1 settled"));
    }

    private void SignIn(Actor actor)
    {
        _browser.Services.AddSingleton<AuthenticationStateProvider>(new SignedIn(actor));
        _browser.RenderTree.Add<CascadingValue<Actor>>(cascade => cascade.Add(value => value.Value, actor));
    }

    private IRenderedComponent<AlertsPage> Open(bool isEmpty = false)
    {
        var page = _browser.Render<AlertsPage>();
        page.WaitForElement(isEmpty ? ".alert-board .view-state h2" : ".alert-title");
        return page;
    }

    private string Address() => _browser.Services.GetRequiredService<NavigationManager>().Uri;

    private static string Words(INode node) =>
        string.Join(' ', node.TextContent.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static IElement Button(IRenderedComponent<AlertsPage> page, string words, string within = "body") =>
        page.FindAll("button").Single(button => Words(button) == words && (within == "body" || button.Closest(within) is not null));

    private static IElement Box(IRenderedComponent<AlertsPage> page, string words) =>
        page.FindAll(".alert-check").First(label => Words(label) == words).QuerySelector("input")!;
}
