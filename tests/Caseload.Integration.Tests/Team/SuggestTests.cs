using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Domain;
using Caseload.Domain.Assignment;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Matrix;
using Caseload.Web.Features.Numbers;
using Caseload.Web.Features.Team;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Team;

/// <summary>Proposals: nothing changes before they are accepted, and what is accepted is what was shown.</summary>
public sealed class SuggestTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private static DateOnly Today => StoreFixture.TodayOn;

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task Proposal_ForTheWaiting_GivesEverybodyAClinicianWhoSpeaksTheLanguageAndChangesNothingByItself()
    {
        await ClinicianAsync([]);
        var other = await ClinicianAsync(["es"]);
        var children = new List<Child>();
        for (var number = 0; number < 6; number++)
        {
            children.Add(await ChildAsync(null, number % 2 == 0 ? "es" : null));
        }

        var suggested = (await SuggestAsync(AssignmentScope.Waiting))!;

        suggested.Proposal.Moves.Count.ShouldBe(6);
        suggested
            .Proposal.Moves.Where(move => children.Single(child => child.Id == move.ChildId).Language == "es")
            .ShouldAllBe(move => move.ToId == other.ClinicianId);
        suggested.Quality.IsProvedBest.ShouldBeTrue();
        await using (var context = _store.ContextA())
        {
            (await context.Children.CountAsync(child => child.ClinicianId != null, Ct)).ShouldBe(0);
        }

        var some = suggested.Proposal.Moves.Take(4).Select(move => new AcceptedMove(move.ChildId, move.FromId, move.ToId)).ToList();
        (await AcceptAsync(null, some)).ShouldBeEmpty();

        await using var after = _store.ContextA();
        foreach (var move in some)
        {
            (await after.Children.SingleAsync(child => child.Id == move.ChildId, Ct)).ClinicianId.ShouldBe(move.ToId);
        }
        (await after.Children.CountAsync(child => child.ClinicianId != null, Ct)).ShouldBe(4);
        (await after.Assignments.CountAsync(Ct)).ShouldBe(4);
    }

    [Fact]
    public async Task Cover_SharedOut_OpensEachChildToItsColleagueForTheTimeAndNoLonger()
    {
        var (away, one, other) = (await ClinicianAsync([]), await ClinicianAsync([]), await ClinicianAsync([]));
        var children = new List<Child>();
        for (var number = 0; number < 4; number++)
        {
            children.Add(await ChildAsync(away, null));
        }
        var coverId = StoreFixture.NewId();
        (
            await new SaveCoverHandler(_store.Db, _store.Time).HandleAsync(
                _store.LeadA,
                new SaveCover(
                    coverId,
                    new CoverForm
                    {
                        AbsentClinicianId = away.ClinicianId,
                        IsShared = true,
                        FromOn = Today,
                        ThroughOn = Today.AddDays(13),
                    }
                ),
                Ct
            )
        ).ShouldBeEmpty();

        var suggested = (await SuggestAsync(AssignmentScope.Cover, coverId))!;
        (
            await AcceptAsync(coverId, [.. suggested.Proposal.Moves.Select(move => new AcceptedMove(move.ChildId, move.FromId, move.ToId))])
        ).ShouldBeEmpty();

        suggested.Proposal.Moves.Count.ShouldBe(4);
        suggested.Proposal.Moves.Select(move => move.ToId).Distinct().Count().ShouldBe(2, "the loads are evened out");
        foreach (var move in suggested.Proposal.Moves)
        {
            var covering = move.ToId == one.ClinicianId ? one : other;
            var colleague = move.ToId == one.ClinicianId ? other : one;
            (await ReachesAsync(covering, move.ChildId)).ShouldBeTrue();
            (await ReachesAsync(colleague, move.ChildId)).ShouldBeFalse("only this child was given to somebody else");
        }
        await using (var context = _store.ContextA())
        {
            (await context.Children.ToListAsync(Ct)).ShouldAllBe(child => child.ClinicianId == away.ClinicianId);
        }

        (await new EndCoverHandler(_store.Db, _store.Time).HandleAsync(_store.LeadA, new EndCover(coverId), Ct)).ShouldBeTrue();

        foreach (var move in suggested.Proposal.Moves)
        {
            (await ReachesAsync(move.ToId == one.ClinicianId ? one : other, move.ChildId)).ShouldBeFalse();
        }
    }

    [Fact]
    public async Task Matrix_WithFilters_ShowsTheStoredStates()
    {
        var clinician = await ClinicianAsync([]);
        var child = await ChildAsync(clinician, null);
        await ChildAsync(null, null);

        var all = await MatrixAsync(new ListMatrix(null, null, null, null));
        var own = await MatrixAsync(new ListMatrix(clinician.ClinicianId, null, null, null));

        all.Rows.Count.ShouldBe(2);
        var row = own.Rows.ShouldHaveSingleItem();
        row.ChildId.ShouldBe(child.Id);
        await using var context = _store.ContextA();
        var stored = await context
            .ItemStatuses.AsNoTracking()
            .Where(status => status.ChildId == child.Id)
            .ToDictionaryAsync(status => status.Item, Ct);
        stored.Count.ShouldBe(own.Items.Count);
        foreach (var (index, item) in own.Items.Index())
        {
            row.Cells[index].ShouldNotBeNull().State.ShouldBe(stored[item.Id].State);
        }
        var markup = MatrixMarkup.Write(own);
        markup.Split("<a tabindex=\"-1\"").Length.ShouldBe(own.Items.Count + 1);
        // What a cell leads to is put together from its row and its column; the journey in the browser follows one.
        markup.ShouldContain($"<tr data-child=\"{child.Id}\">");
        own.Items.ShouldAllBe(item => markup.Contains($" data-item=\"{item.Id}\"", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Numbers_OfASmallProgramme_CountByHandAndDrawNoCurve()
    {
        var clinician = await ClinicianAsync([]);
        await using (var context = _store.ContextA())
        {
            var seen = await StoreFixture.AddChildAsync(context, "2026-05-01");
            seen.ClinicianId = clinician.ClinicianId;
            seen.ReferredOn = StoreFixture.Day("2026-05-01");
            StoreFixture.AddFinding(context, seen, "moro", StoreFixture.Day("2026-05-11"), Domain.Findings.Response.Typical);
            await context.SaveChangesAsync(Ct);
        }

        var numbers = await new GetNumbersHandler(_store.Db, _store.Library, _store.Time).HandleAsync(
            _store.LeadA,
            new GetNumbers("moro", null),
            Ct
        );

        (numbers.OpenCases, numbers.ReferralToVisit.Count, numbers.ReferralToVisit.Median).ShouldBe((1, 1, 10.0));
        // The Moro's usual deadline of this child lies in the twelve weeks, and somebody had looked.
        numbers.LookedAtInTime.Count.ShouldBe(1);
        numbers.LookedAtInTime.Total.ShouldBeGreaterThan(1);
        var curve = numbers.Curve.ShouldNotBeNull();
        (curve.Count, curve.Points.Count).ShouldBe((1, 0));
    }

    private async Task<Actor> ClinicianAsync(IReadOnlyList<string> languages)
    {
        var actor = await _store.AddPersonAsync(_store.ProgrammeA, [Role.Clinician]);
        await using var context = _store.ContextA();
        (await context.Clinicians.SingleAsync(row => row.Id == actor.ClinicianId, Ct)).Languages = languages;
        await context.SaveChangesAsync(Ct);
        return actor;
    }

    private async Task<Child> ChildAsync(Actor? clinician, string? language)
    {
        await using var context = _store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, "2026-08-01");
        (child.ClinicianId, child.Language) = (clinician?.ClinicianId, language);
        await _store.Statuses.RewriteAsync(context, child.Id, Today, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    private async Task<bool> ReachesAsync(Actor actor, Guid childId)
    {
        await using var context = await _store.Db.EnterAsync(actor, Permission.ReadChildren, Ct);
        return await context.Children.AnyAsync(child => child.Id == childId, Ct);
    }

    private Task<SuggestedAssignments?> SuggestAsync(AssignmentScope scope, Guid? coverId = null) =>
        new SuggestAssignmentsHandler(_store.Db, _store.Statuses, _store.Library, _store.Time).HandleAsync(
            _store.LeadA,
            new SuggestAssignments(scope, coverId, false, null, CancellationToken.None),
            Ct
        );

    private Task<IReadOnlyList<Refusal>> AcceptAsync(Guid? coverId, IReadOnlyList<AcceptedMove> moves) =>
        new AcceptMovesHandler(_store.Db, _store.Statuses, _store.Time).HandleAsync(
            _store.LeadA,
            new AcceptMoves(StoreFixture.NewId(), coverId, Today, moves),
            Ct
        );

    private Task<MatrixView> MatrixAsync(ListMatrix request) =>
        new ListMatrixHandler(_store.Db, _store.Statuses, _store.Library, _store.Time).HandleAsync(_store.LeadA, request, Ct);
}
