using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.People;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Alerts;

namespace Caseload.Integration.Tests.Alerts;

public sealed class ListAlertsTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);
    private AlertSteps _steps = null!;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await _store.InitializeAsync();
        _steps = new AlertSteps(_store);
    }

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task List_Always_PutsTheWorstChildFirstAndWithinAChildTheWorstAlert()
    {
        var (mild, bad) = (await _steps.AddChildAsync(), await _steps.AddChildAsync());
        await _steps.AddAsync(mild, AlertKind.Persisting, Concern.Act);
        await _steps.AddAsync(bad, AlertKind.DeadlinePassed, Concern.Watch, "galant");
        await _steps.AddAsync(bad, AlertKind.Returned, Concern.SameDay, "rooting");

        var list = await _steps.ListAsync(_store.LeadA);

        list.Groups.Select(group => group.Code).ShouldBe([bad.Code, mild.Code]);
        list.Groups[0]
            .Alerts.Select(alert => alert.Title)
            .ShouldBe(["Rooting: back after it had gone", "Galant, trunk incurvation: the usual deadline passed without a check"]);
        list.HasMore.ShouldBeFalse();
    }

    [Fact]
    public async Task List_OfTheSameSeverity_PutsTheEarlierAnswerFirst()
    {
        var (later, sooner, none) = (await _steps.AddChildAsync(), await _steps.AddChildAsync(), await _steps.AddChildAsync());
        await _steps.AddAsync(later, change: alert => alert.AnswerBy = StoreFixture.NoonAt.AddDays(3));
        await _steps.AddAsync(sooner, change: alert => alert.AnswerBy = StoreFixture.NoonAt.AddDays(-3));
        await _steps.AddAsync(none, change: alert => alert.AnswerBy = null);

        (await _steps.ListAsync(_store.LeadA)).Groups.Select(group => group.Code).ShouldBe([sooner.Code, later.Code, none.Code]);
    }

    [Theory]
    [InlineData(AlertShow.Open, "open")]
    [InlineData(AlertShow.Acknowledged, "acknowledged")]
    [InlineData(AlertShow.ActedOn, "acted-on")]
    [InlineData(AlertShow.SetAside, "set-aside")]
    [InlineData(AlertShow.Closed, "closed")]
    [InlineData(AlertShow.Standing, "acknowledged acted-on open set-aside")]
    public async Task Show_Always_ListsThatPartOfTheLife(AlertShow show, string expected)
    {
        var child = await _steps.AddChildAsync();
        await AddEachStateAsync(child);

        var shown = (await _steps.ListAsync(_store.LeadA, new ListAlerts { Show = show })).Groups.SelectMany(group => group.Alerts);

        string.Join(' ', shown.Select(alert => Domain.EnumWords.ToWord(alert.State)).Order(StringComparer.Ordinal)).ShouldBe(expected);
    }

    [Fact]
    public async Task Closed_LongAgo_AreListedForTheirChildOnly()
    {
        var child = await _steps.AddChildAsync();
        await _steps.AddAsync(child, change: alert => Close(alert, StoreFixture.NoonAt.AddDays(-91)));
        await _steps.AddAsync(child, item: "galant", change: alert => Close(alert, StoreFixture.NoonAt.AddDays(-89)));

        (await _steps.TitlesAsync(_store.LeadA, new ListAlerts { Show = AlertShow.Closed })).Count.ShouldBe(1);
        (await _steps.TitlesAsync(_store.LeadA, new ListAlerts { Show = AlertShow.Closed, ChildId = child.Id })).Count.ShouldBe(2);
    }

    [Fact]
    public async Task Filters_ByClinicianSeverityKindAndSearch_Narrow()
    {
        var clinician = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician], "Marta Example");
        var (own, other) = (await _steps.AddChildAsync(clinician, "Wilbur"), await _steps.AddChildAsync(null, "Twyla"));
        await _steps.AddAsync(own, AlertKind.OneSided, Concern.Act);
        await _steps.AddAsync(other, AlertKind.Late, Concern.Advisory, "landau");

        (await CodesAsync(new ListAlerts { ClinicianId = clinician.ClinicianId })).ShouldBe([own.Code]);
        (await CodesAsync(new ListAlerts { Severity = Concern.Advisory })).ShouldBe([other.Code]);
        (await CodesAsync(new ListAlerts { Kind = AlertKind.OneSided })).ShouldBe([own.Code]);
        (await CodesAsync(new ListAlerts { Search = " twyl" })).ShouldBe([other.Code]);
        (await CodesAsync(new ListAlerts { Search = own.Code.ToLowerInvariant() })).ShouldBe([own.Code]);
        (await CodesAsync(new ListAlerts { Search = "%" })).ShouldBeEmpty();
        (await CodesAsync(new ListAlerts { Kind = AlertKind.OneSided, Severity = Concern.Advisory })).ShouldBeEmpty();
    }

    [Fact]
    public async Task Tallies_Always_CountWhatTheFiltersCouldShow()
    {
        var child = await _steps.AddChildAsync();
        await AddEachStateAsync(child);
        await _steps.AddAsync(await _steps.AddChildAsync(), AlertKind.Unassigned, Concern.Watch, Alert.WholeChild);

        var tallies = (await _steps.ListAsync(_store.LeadA, new ListAlerts { Severity = Concern.SameDay })).Tallies;

        tallies.Sum(tally => tally.Count).ShouldBe(6);
        tallies.Where(tally => tally.State == AlertState.Open).Sum(tally => tally.Count).ShouldBe(2);
        tallies
            .Single(tally => tally.Kind == AlertKind.Unassigned)
            .ShouldBe(new AlertTally(AlertState.Open, Concern.Watch, AlertKind.Unassigned, 1));
    }

    [Fact]
    [Trait("Requirement", "SEC-02")]
    public async Task Clinician_Always_SeesAndCountsTheOwnReachOnly()
    {
        var clinician = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician]);
        var own = await _steps.AddChildAsync(clinician);
        await _steps.AddAsync(own);
        var foreign = await _steps.AddAsync(await _steps.AddChildAsync(), severity: Concern.SameDay);

        var list = await _steps.ListAsync(clinician);
        var count = await _steps.CountAsync(clinician);

        list.Groups.Select(group => group.Code).ShouldBe([own.Code]);
        list.Tallies.Sum(tally => tally.Count).ShouldBe(1);
        (count.Open, count.SameDay).ShouldBe((1, 0));
        (await _steps.GetAsync(clinician, foreign.Id)).ShouldBeNull();
    }

    [Fact]
    public async Task Mine_ForATeamLeadWhoIsAClinician_TakesInWhomTheyCoverToday()
    {
        var lead = await _store.AddPersonAsync(_store.ProgrammeA, [Role.TeamLead, Role.Clinician]);
        var away = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician]);
        var (own, covered, other) = (await _steps.AddChildAsync(lead), await _steps.AddChildAsync(away), await _steps.AddChildAsync());
        foreach (var child in new[] { own, covered, other })
        {
            await _steps.AddAsync(child);
        }
        await using (var context = _store.ContextA())
        {
            context.Add(
                new Cover
                {
                    ProgrammeId = _store.ProgrammeA,
                    Id = StoreFixture.NewId(),
                    AbsentClinicianId = away.PersonId,
                    CoveringClinicianId = lead.PersonId,
                    FromOn = StoreFixture.TodayOn,
                    ThroughOn = StoreFixture.TodayOn,
                }
            );
            await context.SaveChangesAsync(Ct);
        }

        var mine = await _steps.ListAsync(lead, new ListAlerts { OnlyMine = true });

        mine.CanBeMine.ShouldBeTrue();
        mine.Groups.Select(group => group.Code).Order().ShouldBe(new[] { own.Code, covered.Code }.Order());
        (await _steps.ListAsync(lead)).Groups.Count.ShouldBe(3);
        (await _steps.ListAsync(away)).CanBeMine.ShouldBeFalse();
    }

    [Fact]
    public async Task Count_Always_HasAnotherStampAfterAnyChange()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync(), severity: Concern.SameDay);
        var before = await _steps.CountAsync(_store.LeadA);

        await _steps.AnswerAsync(_store.LeadA, AlertSteps.Acknowledge, alert);
        var after = await _steps.CountAsync(_store.LeadA);

        (before.Open, before.SameDay).ShouldBe((1, 1));
        (after.Open, after.SameDay).ShouldBe((0, 0));
        after.Stamp.ShouldNotBe(before.Stamp);
        (await _steps.CountAsync(_store.LeadA)).Stamp.ShouldBe(after.Stamp);
    }

    [Fact]
    public async Task Story_Always_TellsReasonsWithSourcesFirstResponseAndSteps()
    {
        var alert = await _steps.AddAsync(await _steps.AddChildAsync(), AlertKind.OneSided, Concern.Act);
        await _steps.AnswerAsync(_store.LeadA, AlertSteps.Acknowledge, alert);
        _store.Time.Advance(TimeSpan.FromMinutes(10));
        await _steps.AnswerAsync(_store.LeadA, AlertSteps.SetAside(7), await _steps.ReadAsync(alert));

        var story = (await _steps.GetAsync(_store.LeadA, alert.Id))!;

        story.ItemId.ShouldBe("moro");
        story
            .Reasons.Select(reason => (reason.Text, string.Join(',', reason.Sources)))
            .ShouldBe([("Seen on 2026-11-20.", ""), ("The usual deadline is past.", "SHERRY")]);
        story.Response.TellWhom.ShouldBe("The child's physician");
        story.WhoIsTold.ShouldContain("weekly digest");
        story
            .Steps.Select(step => (step.What, step.On, step.Note))
            .ShouldBe([
                (AlertStepKind.Acknowledged, null, null),
                (AlertStepKind.SetAside, StoreFixture.TodayOn.AddDays(7), "The family is away"),
            ]);
        // Noon in Chicago is when the store's clock stands.
        story.Steps[0].At.TimeOfDay.ShouldBe(TimeSpan.FromHours(12));
    }

    [Fact]
    public async Task Story_OfAClosedAlert_NamesTheFindingThatClosedIt()
    {
        var child = await _steps.AddChildAsync();
        Guid findingId;
        Guid visitId;
        await using (var context = _store.ContextA())
        {
            var finding = StoreFixture.AddFinding(context, child, "moro", StoreFixture.TodayOn, Response.Absent);
            (findingId, visitId) = (finding.Id, finding.VisitId);
            await context.SaveChangesAsync(Ct);
        }
        var alert = await _steps.AddAsync(
            child,
            change: row =>
            {
                Close(row, StoreFixture.NoonAt);
                (row.ClosedBecause, row.ClosingFindingId) = (AlertEnd.NewFinding, findingId);
            }
        );

        var story = (await _steps.GetAsync(_store.LeadA, alert.Id))!;

        (story.ClosedBecause, story.ClosedBy).ShouldBe(
            (AlertEnd.NewFinding, new ClosingFinding("Absent, both sides, on 25 Nov 2026", visitId))
        );
    }

    [Fact]
    [Trait("Requirement", "SEC-37")]
    public async Task Looking_Always_StandsInTheAccessRecord()
    {
        var observer = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Observer]);
        var child = await _steps.AddChildAsync();
        var alert = await _steps.AddAsync(child);

        await _steps.ListAsync(observer);
        await _steps.GetAsync(observer, alert.Id);

        var entries = await _steps.EntriesOfAsync(observer);
        entries.Select(entry => (entry.What, entry.ChildId)).ShouldBe([("alerts-listed", null), ("alert-opened", child.Id)]);
        entries[0].Detail.ShouldBe($$"""{"children": ["{{child.Id}}"]}""");
        entries[1].Detail.ShouldBe($$"""{"alert": "{{alert.Id}}"}""");
    }

    private async Task<IReadOnlyList<string>> CodesAsync(ListAlerts request) =>
        [.. (await _steps.ListAsync(_store.LeadA, request)).Groups.Select(group => group.Code)];

    private async Task AddEachStateAsync(Data.Children.Child child)
    {
        string[] items = ["moro", "rooting", "atnr", "galant", "sucking"];
        foreach (var (state, item) in Enum.GetValues<AlertState>().Zip(items))
        {
            await _steps.AddAsync(
                child,
                item: item,
                change: alert =>
                {
                    if (state == AlertState.Closed)
                    {
                        Close(alert, StoreFixture.NoonAt.AddDays(-1));
                        return;
                    }
                    alert.State = state;
                    alert.AnswerBy = state == AlertState.Open ? alert.AnswerBy : null;
                    alert.BackOn = state == AlertState.SetAside ? StoreFixture.TodayOn.AddDays(3) : null;
                }
            );
        }
    }

    private static void Close(Alert alert, DateTimeOffset at) =>
        (alert.State, alert.AnswerBy, alert.ClosedAt, alert.ClosedBecause) = (AlertState.Closed, null, at, AlertEnd.NoLongerFound);
}
