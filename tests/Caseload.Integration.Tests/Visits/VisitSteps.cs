using Caseload.Data;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Domain.Findings;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Visits;
using Microsoft.Extensions.Time.Testing;

namespace Caseload.Integration.Tests.Visits;

/// <summary>The steps of a visit as the pages take them, on a real database and a clock that stands still.</summary>
internal sealed class VisitSteps
{
    private readonly StoreFixture _store;

    public VisitSteps(StoreFixture store)
    {
        _store = store;
        Actor = store.LeadA;
        Start = new StartVisitHandler(store.Db, Time);
        Get = new GetVisitHandler(store.Db, store.Library, Time);
        SaveDraft = new SaveVisitDraftHandler(store.Db, Time);
        Finish = new FinishVisitHandler(store.Db, store.Library, store.Statuses, Time);
        Correct = new CorrectFindingHandler(store.Db, store.Library, store.Statuses, Time);
    }

    public FakeTimeProvider Time { get; } = new(StoreFixture.NoonAt);
    public Actor Actor { get; }
    public StartVisitHandler Start { get; }
    public GetVisitHandler Get { get; }
    public SaveVisitDraftHandler SaveDraft { get; }
    public FinishVisitHandler Finish { get; }
    public CorrectFindingHandler Correct { get; }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    public static Guid NewId() => StoreFixture.NewId();

    public async Task<Child> AddChildAsync(string bornOn = "2026-03-01", Action<Child>? change = null)
    {
        await using var context = _store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, bornOn);
        change?.Invoke(child);
        await _store.Statuses.RewriteAsync(context, child.Id, StoreFixture.TodayOn, Ct);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    public async Task<Clinician> AddClinicianAsync(bool isActive = true)
    {
        await using var context = _store.ContextA();
        var clinician = new Clinician
        {
            ProgrammeId = _store.ProgrammeA,
            Id = NewId(),
            Name = "Ines Abbott",
            Initials = "IA",
            Discipline = Discipline.OccupationalTherapy,
            IsActive = isActive,
        };
        context.Add(clinician);
        await context.SaveChangesAsync(Ct);
        return clinician;
    }

    public async Task<Guid> StartAsync(Child child, DateOnly? visitedOn = null)
    {
        var outcome = await Start.HandleAsync(Actor, new StartVisit(NewId(), child.Id, visitedOn ?? StoreFixture.TodayOn, null), Ct);
        return outcome.ShouldBeOfType<StartVisitOutcome.Started>().VisitId;
    }

    public async Task<VisitReport> FinishAsync(Guid visitId, params EntryForm[] entries)
    {
        var outcome = await Finish.HandleAsync(Actor, new FinishVisit(visitId, new VisitForm { Entries = entries }, null), Ct);
        return outcome.ShouldBeOfType<FinishVisitOutcome.Finished>().Report;
    }

    public async Task<VisitView> GetAsync(Guid visitId) => (await Get.HandleAsync(Actor, new GetVisit(visitId), Ct))!;

    public static EntryForm Entry(string item, Response? left, Response? right, BehaviouralState? state = BehaviouralState.QuietAlert) =>
        new EntryForm
        {
            Item = item,
            Left = left,
            Right = right,
            State = state,
        }.WithIds(NewId);

    public static EntryForm Alike(string item, Response both, BehaviouralState? state = BehaviouralState.QuietAlert) =>
        Entry(item, both, both, state);
}
