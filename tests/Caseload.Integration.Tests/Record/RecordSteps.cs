using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Children;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Record;

/// <summary>People, children and looks in programme A.</summary>
internal sealed class RecordSteps(StoreFixture store)
{
    public const string Reason = "Colleague is ill and the visit is today";

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    /// <summary>A child of a clinician; nobody's without one.</summary>
    public async Task<Child> AddChildAsync(Actor? clinician = null, Action<Child>? change = null, Guid? programmeId = null)
    {
        await using var context = store.Db.ForJob("test", programmeId ?? store.ProgrammeA);
        var child = await StoreFixture.AddChildAsync(context);
        child.ClinicianId = clinician?.ClinicianId;
        change?.Invoke(child);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    public Task<Actor> AddAsync(params Role[] roles) => store.AddPersonAsync(store.ProgrammeA, roles);

    public Task<ChildView?> OpenAsync(Actor actor, Guid childId) =>
        new GetChildHandler(store.Db, store.Library, store.Time).HandleAsync(actor, new GetChild(childId), Ct);

    public Task<OpenByReasonOutcome> ReachAsync(Actor actor, string code, string reason = Reason) =>
        new OpenByReasonHandler(store.Db, store.Time).HandleAsync(
            actor,
            new OpenByReason(Guid.CreateVersion7(store.Time.GetUtcNow()), code, reason),
            Ct
        );

    /// <summary>A reach that began at another time than now; put in by the owner, because the store lets only the person begin one.</summary>
    public Task AddReachAsync(Actor actor, Guid childId, string reason, DateTimeOffset untilAt) =>
        store.AskOwnerAsync(
            $"""
            insert into reasoned_reaches (programme_id, id, child_id, person_id, reason, from_at, until_at) values
            ('{store.ProgrammeA}', '{StoreFixture.NewId()}', '{childId}', '{actor.PersonId}', '{reason}', '{untilAt.AddHours(
                -8
            ):O}', '{untilAt:O}')
            """
        );

    /// <summary>What stands in the record about a person, oldest first.</summary>
    public async Task<List<AccessEntry>> EntriesOfAsync(Actor actor)
    {
        await using var context = store.ContextA();
        return await context
            .AccessEntries.AsNoTracking()
            .Where(entry => entry.PersonId == actor.PersonId)
            .OrderBy(entry => entry.Number)
            .ToListAsync(Ct);
    }
}
