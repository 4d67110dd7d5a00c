using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Team;
using Caseload.Web.Platform.Team;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Team;

public sealed class CoverTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private static readonly DateOnly _todayOn = StoreFixture.TodayOn;

    private readonly StoreFixture _store = new(postgres);
    private Actor _away = null!;
    private Actor _colleague = null!;
    private Actor _third = null!;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await _store.InitializeAsync();
        _away = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician], "Ada Away");
        _colleague = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician], "Colin League");
        _third = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician], "Thea Third");
    }

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task Cover_WhileItHolds_OpensTheChildrenToTheColleague()
    {
        var childId = await AddChildAsync(_away.PersonId);
        (await ReachesAsync(_colleague, childId)).ShouldBeFalse();

        (await SaveAsync(_away, _colleague, 0, 3)).ShouldBeEmpty();

        (await ReachesAsync(_colleague, childId)).ShouldBeTrue();
        var row = (await ListAsync()).Covers.Single();
        (row.Absent, row.Covering, row.ChildCount, row.HoldsOn(_todayOn)).ShouldBe(("Ada Away", "Colin League", 1, true));

        (await EndAsync(row.Id)).ShouldBeTrue();

        (await ReachesAsync(_colleague, childId)).ShouldBeFalse();
        (await ListAsync()).Covers.ShouldBeEmpty();
    }

    [Fact]
    public async Task Load_WhileACoverHolds_IsTheColleaguesAndReturns()
    {
        var childId = await AddChildAsync(_away.PersonId);
        await SaveAsync(_away, _colleague, 0, 3);

        var team = await TeamAsync();
        team.Of(_away.PersonId).Select(child => child.Id).ShouldBe([childId], "who is responsible stays");
        team.SeenBy(_away.PersonId).ShouldBeEmpty();
        team.SeenBy(_colleague.PersonId).Select(child => child.Id).ShouldBe([childId]);
        LoadOf(team, _colleague).Minutes.ShouldBeGreaterThan(0);
        LoadOf(team, _away).Minutes.ShouldBe(0);

        await EndAsync((await ListAsync()).Covers.Single().Id);

        team = await TeamAsync();
        team.SeenBy(_away.PersonId).Select(child => child.Id).ShouldBe([childId]);
        LoadOf(team, _colleague).Minutes.ShouldBe(0);

        TeamLoad LoadOf(TeamFacts facts, Actor clinician) =>
            TeamLoad.Of(facts.Clinicians.Single(row => row.Id == clinician.PersonId), facts.SeenBy(clinician.PersonId), facts.Policy);

        Task<TeamFacts> TeamAsync() =>
            new GetTeamHandler(_store.Db, _store.Statuses, _store.Library, _store.Time).HandleAsync(_store.LeadA, new GetTeam(), Ct);
    }

    [Fact]
    public async Task Cover_ThatBeganEarlier_EndsYesterdayWhenItIsEnded()
    {
        await SaveAsync(_away, _colleague, -2, 3);
        var id = (await ListAsync()).Covers.Single().Id;

        (await EndAsync(id)).ShouldBeTrue();
        (await EndAsync(id)).ShouldBeFalse();

        await using var context = _store.ContextA();
        (await context.Covers.AsNoTracking().SingleAsync(row => row.Id == id, Ct)).ThroughOn.ShouldBe(_todayOn.AddDays(-1));
        (await context.AccessEntries.CountAsync(row => row.What == "cover-ended", Ct)).ShouldBe(1);
    }

    [Fact]
    public async Task Cover_SavedTwiceUnderOneId_IsThereOnce()
    {
        var id = StoreFixture.NewId();

        (await SaveAsync(_away, _colleague, 1, 3, id)).ShouldBeEmpty();
        (await SaveAsync(_away, _colleague, 1, 3, id)).ShouldBeEmpty();

        (await ListAsync()).Covers.Count.ShouldBe(1);
    }

    [Theory]
    [InlineData(3, 5, true)]
    [InlineData(-5, 1, true)]
    [InlineData(4, 5, false)]
    [InlineData(-5, 0, false)]
    public async Task Cover_OverlappingAnotherOfTheSame_IsRefused(int from, int through, bool isRefused)
    {
        await SaveAsync(_away, _colleague, 1, 3);

        (await SaveAsync(_away, _third, from, through)).Select(refusal => refusal.Field).ShouldBe(isRefused ? ["absent"] : []);
    }

    [Fact]
    public async Task Cover_BySomebodyWhoIsAway_IsRefused()
    {
        await SaveAsync(_colleague, _third, 2, 4);

        var refusal = (await SaveAsync(_away, _colleague, 0, 2)).Single();

        (refusal.Field, refusal.Message).ShouldBe(
            ("covering", "Is away from 27 Nov 2026 through 29 Nov 2026. Choose another, or other days.")
        );
    }

    [Fact]
    public async Task Cover_OfSomebodyWhoCovers_IsRefused()
    {
        await SaveAsync(_away, _colleague, 0, 2);

        (await SaveAsync(_colleague, _third, 2, 4)).Single().Field.ShouldBe("absent");
    }

    [Fact]
    public async Task Cover_WithSomebodyWhoLeft_IsRefusedAtBothFields()
    {
        await using (var context = _store.ContextA())
        {
            (await context.Clinicians.SingleAsync(row => row.Id == _third.PersonId, Ct)).IsActive = false;
            await context.SaveChangesAsync(Ct);
        }

        (await SaveAsync(_away, _third, 0, 2)).Single().Field.ShouldBe("covering");
        (await SaveAsync(_third, _away, 0, 2)).Single().Field.ShouldBe("absent");
        (await ListAsync()).Clinicians.Select(choice => choice.Name).ShouldBe(["Ada Away", "Colin League"]);
    }

    [Fact]
    public async Task Cover_SavedByTwoAtOnce_IsThereOnce()
    {
        var answers = await Task.WhenAll(SaveAsync(_away, _colleague, 0, 2), SaveAsync(_away, _third, 1, 3));

        answers.Count(refusals => refusals.Count == 0).ShouldBe(1);
        (await ListAsync()).Covers.Count.ShouldBe(1);
    }

    [Fact]
    public async Task Cover_EnteredByAClinician_IsRefused() =>
        await Should.ThrowAsync<AccessDeniedException>(() =>
            new SaveCoverHandler(_store.Db, _store.Time).HandleAsync(
                _away,
                new SaveCover(StoreFixture.NewId(), Form(_away, _colleague, 0, 1)),
                Ct
            )
        );

    private static CoverForm Form(Actor absent, Actor covering, int from, int through) =>
        new()
        {
            AbsentClinicianId = absent.ClinicianId,
            CoveringClinicianId = covering.ClinicianId,
            FromOn = _todayOn.AddDays(from),
            ThroughOn = _todayOn.AddDays(through),
        };

    private Task<IReadOnlyList<Domain.Refusal>> SaveAsync(Actor absent, Actor covering, int from, int through, Guid? id = null) =>
        new SaveCoverHandler(_store.Db, _store.Time).HandleAsync(
            _store.LeadA,
            new SaveCover(id ?? StoreFixture.NewId(), Form(absent, covering, from, through)),
            Ct
        );

    private Task<CoverList> ListAsync() => new ListCoversHandler(_store.Db, _store.Time).HandleAsync(_store.LeadA, new ListCovers(), Ct);

    private Task<bool> EndAsync(Guid id) => new EndCoverHandler(_store.Db, _store.Time).HandleAsync(_store.LeadA, new EndCover(id), Ct);

    private async Task<Guid> AddChildAsync(Guid clinicianId)
    {
        await using var context = _store.ContextA();
        var child = await StoreFixture.AddChildAsync(context);
        child.ClinicianId = clinicianId;
        await context.SaveChangesAsync(Ct);
        return child.Id;
    }

    private async Task<bool> ReachesAsync(Actor actor, Guid childId)
    {
        await using var context = await _store.Db.EnterAsync(actor, Permission.ReadChildren, Ct);
        return await context.Children.AnyAsync(row => row.Id == childId, Ct);
    }
}
