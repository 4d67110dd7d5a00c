using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Statuses;

/// <summary>Keeps the status rows equal to what the interpreter says of the findings.</summary>
/// <remarks>
/// A row is right from the day it was computed for until its next change. Whoever shows statuses for today therefore calls
/// <see cref="RefreshDueAsync"/> first, which is one indexed query while nothing is due; a nightly job that calls it makes that the rule.
/// Whoever changes findings, birth facts, enrolment or closing of a child calls <see cref="RewriteAsync"/> before the save; whoever changes the
/// programme's policy or active set calls <see cref="RebuildAsync"/> in the same transaction.
/// </remarks>
public sealed class StatusProjection(CaseloadDb db, ReferenceLibrary library)
{
    private const int BatchSize = 100;

    /// <summary>Puts the rows of some children right within the unit of work; the caller's save writes them.</summary>
    /// <remarks>
    /// Counts what the unit of work holds and has not saved: added findings, added or edited children. Locks the children until the save
    /// (the lock opens a transaction, which that save commits), so that two visits finished at once cannot each miss the other's findings.
    /// </remarks>
    /// <param name="context">The unit of work.</param>
    /// <param name="childIds">The children.</param>
    /// <param name="asOfOn">Today in the programme's zone.</param>
    /// <param name="ct">Cancels.</param>
    public async Task RewriteAsync(CaseloadDbContext context, IReadOnlyCollection<Guid> childIds, DateOnly asOfOn, CancellationToken ct)
    {
        var unsaved = context
            .ChangeTracker.Entries<Child>()
            .Where(entry => entry.State is EntityState.Added or EntityState.Modified && childIds.Contains(entry.Entity.Id))
            .ToDictionary(entry => entry.Entity.Id);
        var storedIds = childIds
            .Where(id => !unsaved.TryGetValue(id, out var entry) || entry.State != EntityState.Added)
            .Distinct()
            .ToArray();

        List<Child> children = [.. unsaved.Values.Select(entry => entry.Entity)];
        var findings = context
            .ChangeTracker.Entries<RecordedFinding>()
            .Where(entry => entry.State == EntityState.Added)
            .Select(entry => entry.Entity)
            .ToList();
        List<ItemStatus> stored = [];
        if (storedIds.Length > 0)
        {
            await context.HoldTransactionAsync(ct);
            await LockActiveSetAsync(context, ct);
            var locked = await LockAsync(context, storedIds, ct);
            children.AddRange(locked.Where(child => !unsaved.ContainsKey(child.Id)));
            findings.AddRange(
                await context.Findings.AsNoTracking().Where(row => EF.Parameter(storedIds).Contains(row.ChildId)).ToListAsync(ct)
            );
            stored = await context.ItemStatuses.Where(row => EF.Parameter(storedIds).Contains(row.ChildId)).ToListAsync(ct);
        }

        var interpreter = await library.GetActiveAsync(context, ct);
        var findingsOf = findings.ToLookup(row => row.ChildId, row => row.ToFinding());
        var storedOf = stored.ToDictionary(row => (row.ChildId, row.Item));
        foreach (var fresh in children.SelectMany(child => Compute(child, [.. findingsOf[child.Id]], interpreter, asOfOn)))
        {
            if (storedOf.Remove((fresh.ChildId, fresh.Item), out var old))
            {
                context.Entry(old).CurrentValues.SetValues(fresh);
            }
            else
            {
                context.ItemStatuses.Add(fresh);
            }
        }
        context.ItemStatuses.RemoveRange(storedOf.Values);
    }

    /// <summary>Puts the rows of one child right within the unit of work.</summary>
    public Task RewriteAsync(CaseloadDbContext context, Guid childId, DateOnly asOfOn, CancellationToken ct) =>
        RewriteAsync(context, [childId], asOfOn, ct);

    /// <summary>Computes and saves every row of the programme anew, some children at a time; inside the caller's transaction when one is open.</summary>
    /// <remarks>Concerns children whom whoever changed a setting may not see; the context sees the whole programme from here on.</remarks>
    /// <returns>How many children.</returns>
    public async Task<int> RebuildAsync(CaseloadDbContext context, DateOnly asOfOn, CancellationToken ct)
    {
        await context.WidenToProgrammeAsync(ct);
        var ids = await context.Children.OrderBy(child => child.Id).Select(child => child.Id).ToListAsync(ct);
        await SaveInBatchesAsync(context, ids, asOfOn, ct);
        return ids.Count;
    }

    /// <summary>Recomputes the children with a row whose next change has come, and no others.</summary>
    /// <returns>How many children.</returns>
    public async Task<int> RefreshDueAsync(Guid programmeId, DateOnly todayOn, CancellationToken ct)
    {
        await using var context = db.ForJob("status-refresh", programmeId);
        var ids = await context
            .ItemStatuses.Where(row => row.NextChangeOn <= todayOn)
            .Select(row => row.ChildId)
            .Distinct()
            .OrderBy(id => id)
            .ToListAsync(ct);
        await SaveInBatchesAsync(context, ids, todayOn, ct);
        return ids.Count;
    }

    /// <summary>The rows of one child: pure, one per item of the interpreter's set.</summary>
    /// <remarks>A closed case is told as of the day it was closed, and asks for nothing more.</remarks>
    /// <param name="child">The child.</param>
    /// <param name="recorded">Everything recorded, corrections and withdrawals included.</param>
    /// <param name="interpreter">The set and the policy.</param>
    /// <param name="asOfOn">The day of the question.</param>
    public static IReadOnlyList<ItemStatus> Compute(
        Child child,
        IReadOnlyCollection<Finding> recorded,
        Interpreter interpreter,
        DateOnly asOfOn
    )
    {
        var isClosed = child.ClosedOn <= asOfOn;
        var on = isClosed ? child.ClosedOn!.Value : asOfOn;
        var standing = StandingFindings.Of(recorded).ToLookup(finding => finding.Item);
        var facts = child.ToFacts();
        var childDays = ChildDays.Of(facts.Birth, interpreter.Policy, facts.FollowedFromOn);
        Span<int> days = stackalloc int[interpreter.Windows.DayCount];
        interpreter.Windows.FillDays(childDays, days);

        var rows = new List<ItemStatus>(interpreter.Windows.Count);
        for (var index = 0; index < interpreter.Windows.Count; index++)
        {
            var item = interpreter.Set.Items[index].Id;
            var window = interpreter.Windows.WindowOf(index, childDays, days);
            var verdict = interpreter.Evaluate(index, window, interpreter.EvidenceOf(index, standing[item]), childDays, on.DayNumber);
            var hasCheck = !isClosed && verdict.Purpose != CheckPurpose.None;
            rows.Add(
                new ItemStatus
                {
                    ProgrammeId = child.ProgrammeId,
                    ChildId = child.Id,
                    Item = item,
                    State = verdict.State,
                    Step = verdict.Step,
                    IsConfirmed = verdict.IsConfirmed,
                    SinceOn = ItemWindow.ToDate(verdict.Since),
                    Concern = verdict.Concern,
                    ExpectedFromOn = DateOnly.FromDayNumber(window.ExpectedFrom),
                    UsualFromOn = ItemWindow.ToDate(window.UsualFrom),
                    UsualThroughOn = ItemWindow.ToDate(window.UsualThrough),
                    LatestThroughOn = ItemWindow.ToDate(window.LatestThrough),
                    CheckFromOn = hasCheck ? DateOnly.FromDayNumber(verdict.CheckFrom) : null,
                    CheckThroughOn = hasCheck ? DateOnly.FromDayNumber(verdict.CheckThrough) : null,
                    CheckPurpose = hasCheck ? verdict.Purpose : CheckPurpose.None,
                    NextChangeOn = isClosed ? null : Earlier(ItemWindow.ToDate(verdict.NextChangeOn), child.ClosedOn),
                    ComputedForOn = on,
                    SetKey = interpreter.Set.Key,
                }
            );
        }
        return rows;
    }

    private static DateOnly? Earlier(DateOnly? one, DateOnly? other) => one is null || other < one ? other : one;

    private async Task SaveInBatchesAsync(CaseloadDbContext context, List<Guid> childIds, DateOnly asOfOn, CancellationToken ct)
    {
        foreach (var batch in childIds.Chunk(BatchSize))
        {
            await RewriteAsync(context, batch, asOfOn, ct);
            await context.SaveChangesAsync(ct);
            foreach (var entry in context.ChangeTracker.Entries<ItemStatus>().ToList())
            {
                entry.State = EntityState.Detached;
            }
        }
    }

    // Whoever publishes a set holds the programme's row until the rebuild is saved: rows written meanwhile must wait for the new set.
    private static Task<int> LockActiveSetAsync(CaseloadDbContext context, CancellationToken ct) =>
        context.Database.ExecuteSqlAsync($"select from programmes where programme_id = {context.ProgrammeId} for share", ct);

    private static Task<List<Child>> LockAsync(CaseloadDbContext context, Guid[] childIds, CancellationToken ct) =>
        context
            .Children.FromSql(
                $"""
                select *, xmin from children
                where programme_id = {context.ProgrammeId} and id = any({childIds})
                order by id for no key update
                """
            )
            .AsNoTracking()
            .ToListAsync(ct);
}
