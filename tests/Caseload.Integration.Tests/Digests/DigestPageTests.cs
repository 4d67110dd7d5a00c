using Bunit;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Digests;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Digest;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;

namespace Caseload.Integration.Tests.Digests;

/// <summary>Reading digests: whose, which, with which names, and that the look is recorded.</summary>
public sealed class DigestPageTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => Xunit.TestContext.Current.CancellationToken;

    [Fact]
    public async Task Get_ByItsReader_ShowsNamesOfToday_AndIsRecordedWithTheChildren()
    {
        var (steps, clinician, _) = await TwoCliniciansAsync();
        var child = await steps.AddChildAsync("2026-03-01", clinician.ClinicianId, [("2026-11-20", Response.Typical)]);
        var given = await steps.AddChildAsync("2026-03-01", clinician.ClinicianId, [("2026-11-20", Response.Typical)]);
        await steps.RunAsync();
        await using (var context = steps.Open())
        {
            // Given to nobody since: named in the digest by its code, and no longer reached.
            (await context.Children.SingleAsync(row => row.Id == given.Id, Ct)).ClinicianId = null;
            await context.SaveChangesAsync(Ct);
        }

        var history = await ListAsync(clinician);
        var view = await GetAsync(clinician, history.Rows.ShouldHaveSingleItem().Id);

        view.ShouldNotBeNull();
        view.Names.ShouldBe(new Dictionary<Guid, string> { [child.Id] = $"{child.GivenName} {child.FamilyName}" });
        view.Content.Children.Select(row => row.Id).ShouldBe([child.Id, given.Id], ignoreOrder: true);
        await using var reader = steps.Open();
        var stored = await reader.Digests.AsNoTracking().SingleAsync(row => row.Id == view.Id, Ct);
        (view.Text, view.Subject).ShouldBe((stored.Text, stored.Subject));
        var look = await reader.AccessEntries.SingleAsync(row => row.What == "digest-opened", Ct);
        look.PersonId.ShouldBe(clinician.PersonId);
        look.Detail.ShouldContain(child.Id.ToString());
        look.Detail.ShouldContain(given.Id.ToString());
    }

    [Fact]
    public async Task Digests_OfOthers_AreReadByTheTeamLeadAndHiddenFromAColleague()
    {
        var (steps, clinician, colleague) = await TwoCliniciansAsync();
        var lead = await steps.AddPersonAsync([Role.TeamLead]);
        await steps.RunAsync();
        await steps.RunAsync(week: "2026-W49");

        var own = await ListAsync(clinician);
        var all = await ListAsync(lead);
        var others = await ListAsync(lead, new ListDigests(colleague.PersonId, DigestScope.Clinician));

        own.Readers.ShouldHaveSingleItem().PersonId.ShouldBe(clinician.PersonId);
        own.Rows.Select(row => row.Week).ShouldBe(["2026-W49", "2026-W48"]);
        // Seven in the morning in Chicago.
        own.NextAt.ShouldBe(new DateTimeOffset(2026, 11, 30, 7, 0, 0, TimeSpan.FromHours(-6)));
        all.Readers.Count.ShouldBe(3);
        (all.Shown!.PersonId, all.Shown.Scope).ShouldBe((lead.PersonId, DigestScope.Programme));
        others.Shown!.NewestId.ShouldBe(others.Rows[0].Id);
        (await GetAsync(colleague, own.Rows[0].Id)).ShouldBeNull();
        (await ListAsync(colleague, new ListDigests(clinician.PersonId, DigestScope.Clinician))).Rows.ShouldBeEmpty();
        (await GetAsync(lead, own.Rows[0].Id)).ShouldNotBeNull();
    }

    [Fact]
    public async Task Digest_OfTheProgramme_IsHiddenFromWhoLeadsNoMore()
    {
        var (steps, _, _) = await TwoCliniciansAsync();
        var lead = await steps.AddPersonAsync([Role.TeamLead, Role.Clinician]);
        await steps.RunAsync();
        var programme = (await ListAsync(lead)).Rows[0];
        await using (var context = steps.Open())
        {
            (await context.People.SingleAsync(row => row.Id == lead.PersonId, Ct)).Roles = [Role.Clinician];
            await context.SaveChangesAsync(Ct);
        }

        (await GetAsync(lead, programme.Id)).ShouldBeNull();
        (await ListAsync(lead)).Readers.ShouldHaveSingleItem().Scope.ShouldBe(DigestScope.Clinician);
    }

    [Fact]
    public async Task Page_Opened_ShowsTheNewest_AndAnotherWhenChosen()
    {
        var (steps, clinician, _) = await TwoCliniciansAsync();
        var lead = await steps.AddPersonAsync([Role.TeamLead]);
        var child = await steps.AddChildAsync("2026-03-01", clinician.ClinicianId, [("2026-11-20", Response.Typical)]);
        await steps.RunAsync();
        await steps.RunAsync(week: "2026-W49");
        await using var browser = Browser(lead);

        var page = browser.Render<DigestPage>();
        page.WaitForElement(".digest-weeks");

        page.Find("#digest-week").TextContent.ShouldBe("Week 49 of 2026");
        page.FindAll(".digest-weeks a").Count.ShouldBe(2);
        page.Find(".digest-weeks a[aria-current=page]").TextContent.ShouldContain("Week 49");
        page.Find(".digest-part .digest-line a").TextContent.ShouldBe($"{child.GivenName} {child.FamilyName}");
        page.Find("#digest-team").ShouldNotBeNull();
        page.Find("details pre").TextContent.ShouldStartWith("CASELOAD TEAM DIGEST, WEEK 49 OF 2026");

        var select = page.Find("#digest-reader");
        var other = select
            .QuerySelectorAll("option")
            .Single(option => option.GetAttribute("value")!.StartsWith(clinician.PersonId.ToString(), StringComparison.Ordinal));
        await select.ChangeAsync(new ChangeEventArgs { Value = other.GetAttribute("value") });
        var address = browser.Services.GetRequiredService<NavigationManager>().Uri;
        var chosen = browser.Render<DigestPage>(parameters => parameters.Add(part => part.DigestId, Guid.Parse(address.Split('/')[^1])));
        chosen.WaitForElement(".digest-weeks");

        chosen.Find("details pre").TextContent.ShouldStartWith("CASELOAD DIGEST, WEEK 49 OF 2026");
        chosen.FindAll("#digest-team").ShouldBeEmpty();
    }

    [Fact]
    public async Task Page_BeforeTheFirstDigest_SaysWhenItComes()
    {
        var (_, clinician, _) = await TwoCliniciansAsync();
        await using var browser = Browser(clinician);

        var page = browser.Render<DigestPage>();

        page.WaitForAssertion(() => page.Find("h2").TextContent.ShouldBe("No digest yet"));
        page.Find(".view-state p").TextContent.ShouldContain("30 Nov 2026, 07:00");
        var wrong = browser.Render<DigestPage>(parameters => parameters.Add(part => part.DigestId, StoreFixture.NewId()));
        wrong.WaitForAssertion(() => wrong.Find("h2").TextContent.ShouldBe("There is no such digest"));
    }

    private async Task<(DigestSteps Steps, Actor One, Actor Other)> TwoCliniciansAsync()
    {
        var steps = await DigestSteps.MakeAsync(store);
        return (steps, await steps.AddPersonAsync([Role.Clinician]), await steps.AddPersonAsync([Role.Clinician]));
    }

    private Task<DigestHistory> ListAsync(Actor actor, ListDigests? request = null) =>
        new ListDigestsHandler(store.Db, store.Time).HandleAsync(actor, request ?? new ListDigests(null, null), Ct);

    private Task<DigestView?> GetAsync(Actor actor, Guid id) =>
        new GetDigestHandler(store.Db, store.Time).HandleAsync(actor, new GetDigest(id), Ct);

    private BunitContext Browser(Actor actor)
    {
        var browser = new BunitContext();
        browser.JSInterop.Mode = JSRuntimeMode.Loose;
        browser.Services.AddSingleton(store.Db);
        browser.Services.AddSingleton(store.Library);
        browser.Services.AddSingleton(store.Statuses);
        browser.Services.AddSingleton<TimeProvider>(store.Time);
        browser.Services.AddSingleton(new FailureLog(NullLogger<FailureLog>.Instance, store.Time));
        browser.Services.AddSingleton<ActorSource>();
        browser.Services.AddSingleton<AuthenticationStateProvider>(new SignedIn(actor));
        browser.RenderTree.Add<CascadingValue<Actor>>(cascade => cascade.Add(value => value.Value, actor));
        WebHost.AddHandlers(browser.Services);
        return browser;
    }
}
