using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Programmes;
using Caseload.Data.Visits;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Statuses;

/// <summary>Keeps the status rows and the alerts equal to what the rules say of the children's records.</summary>
/// <remarks>
/// A row is right from the day it was computed for until its next change. Whoever shows statuses for today therefore calls
/// <see cref="RefreshDueAsync"/> first, which is two indexed queries while nothing is due; a nightly job that calls it makes that the rule.
/// Whoever changes findings, visits, birth facts, enrolment, assignment, exclusions, signs or closing of a child calls
/// <see cref="RewriteAsync(CaseloadDbContext, Guid, DateOnly, CancellationToken)"/> before the save; whoever changes the programme's policies or active
/// set calls <see cref="RebuildAsync"/> in the same transaction.
/// </remarks>
public sealed class StatusProjection(CaseloadDb db, ReferenceLibrary library)
{
    /// <summary>How many children are worked out in one transaction of a sweep.</summary>
    private const int BatchSize = 8000;

    /// <summary>How many transactions of a sweep run at once: of a large caseload they mostly wait for the disk, each for a page of its own.</summary>
    private const int Lanes = 6;

    /// <summary>How many due items are looked for at once.</summary>
    private const int FoundAtOnce = Lanes * BatchSize;

    /// <summary>With fewer children, another connection costs more than it saves.</summary>
    private const int SmallestLane = 500;

    private const string SweepName = "sweep";

    /// <summary>Puts the rows and alerts of one child right within the unit of work; the caller's save writes them.</summary>
    /// <remarks>
    /// Counts what the unit of work holds and has not saved. Locks the child until the save (the lock opens a transaction, which that save
    /// commits), so that two visits finished at once cannot each miss the other's findings.
    /// </remarks>
    /// <param name="context">The unit of work.</param>
    /// <param name="childId">The child.</param>
    /// <param name="asOfOn">Today in the programme's zone.</param>
    /// <param name="ct">Cancels.</param>
    public async Task RewriteAsync(CaseloadDbContext context, Guid childId, DateOnly asOfOn, CancellationToken ct)
    {
        var unsaved = context.ChangeTracker.Entries<Child>().SingleOrDefault(entry => entry.Entity.Id == childId);
        Child? child = unsaved?.State is EntityState.Added or EntityState.Modified ? unsaved.Entity : null;
        var isNew = unsaved?.State == EntityState.Added;
        if (!isNew)
        {
            await context.HoldTransactionAsync(ct);
            await StandingStore.LockActiveSetAsync(context, ct);
            var locked = await StandingStore.LockAsync(context, [childId], ct);
            child ??= locked.SingleOrDefault();
        }
        if (child is null)
        {
            return;
        }

        var rules = await RulesAsync(context, ct);
        var findings = await ReadAsync(context.Findings.AsNoTracking().Where(row => row.ChildId == childId), context, isNew, ct);
        var exclusions = await ReadAsync(context.Exclusions.Where(row => row.ChildId == childId), context, isNew, ct);
        var signs = await ReadAsync(context.Signs.Where(row => row.ChildId == childId), context, isNew, ct);
        var visitedOn = await LastVisitOnAsync(context, childId, isNew, ct);
        var standing = ChildStanding.Of(
            new ChildRecord(
                child,
                [.. findings.Where(row => row.ChildId == childId).Select(row => row.ToFinding())],
                [.. exclusions.Where(row => row.ChildId == childId).Select(row => row.ToExclusion())],
                [.. signs.Where(row => row.ChildId == childId)],
                visitedOn
            ),
            rules,
            asOfOn
        );

        await WriteRowsAsync(context, standing, isNew, ct);
        var open = isNew ? [] : await StandingStore.LockOpenAlertsAsync(context, childId, ct);
        await WriteAlertsAsync(context, child, standing, open, findings, rules, asOfOn, ct);
    }

    /// <summary>Works out and saves every row and alert of the programme anew, inside the caller's transaction when one is open.</summary>
    /// <remarks>Concerns children whom whoever changed a setting may not see; the context sees the whole programme from here on.</remarks>
    /// <returns>How many children.</returns>
    public async Task<int> RebuildAsync(CaseloadDbContext context, DateOnly asOfOn, CancellationToken ct)
    {
        await context.WidenToProgrammeAsync(ct);
        var rules = await RulesAsync(context, ct);
        var sweep = new StandingSweep(context, rules, asOfOn);
        var count = 0;
        Guid? afterId = null;
        while (await sweep.RebuildNextAsync(afterId, BatchSize, ct) is { ChildCount: > 0 } batch)
        {
            count += batch.ChildCount;
            afterId = batch.LastChildId;
        }
        return count;
    }

    /// <summary>Works out the rows whose day has come, and the alerts that follow from them, and no others.</summary>
    /// <param name="programmeId">The programme.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    /// <param name="ct">Cancels; what is saved until then stays.</param>
    /// <param name="reportAsync">Is told after every transaction how many children are done.</param>
    public async Task<SweepCounts> RefreshDueAsync(
        Guid programmeId,
        DateOnly todayOn,
        CancellationToken ct,
        Func<int, CancellationToken, Task>? reportAsync = null
    )
    {
        await using var context = db.ForJob(SweepName, programmeId);
        await context.HoldConnectionAsync(ct);
        var total = default(SweepCounts);
        while (true)
        {
            var due = await StandingStore.FindDueAsync(context, todayOn, FoundAtOnce, ct);
            if (due.Count == 0)
            {
                return total;
            }
            // Outside a transaction the library keeps what it reads, and the lanes need not read the set each for itself.
            await library.GetActiveAsync(context, ct);
            // Children are independent of each other, and the database works on one statement a connection.
            // In the order of their ids they lie side by side in the tables and indexes, in each lane a part of its own.
            var children = due.GroupBy(item => item.ChildId).OrderBy(group => group.Key).ToList();
            var lanes = children.Chunk(Math.Max(SmallestLane, (children.Count + Lanes - 1) / Lanes));
            foreach (
                var counts in await Task.WhenAll(
                    lanes.Select(lane => RefreshAsync(programmeId, [.. lane.SelectMany(group => group)], todayOn, ct))
                )
            )
            {
                total += counts;
            }
            if (reportAsync is not null)
            {
                await reportAsync(total.Children, ct);
            }
            // Fewer than asked for were all: to look again would be to walk over what was just rewritten.
            if (due.Count < FoundAtOnce)
            {
                return total;
            }
        }
    }

    private async Task<SweepCounts> RefreshAsync(Guid programmeId, List<DueItem> due, DateOnly todayOn, CancellationToken ct)
    {
        await using var context = db.ForJob(SweepName, programmeId);
        await context.HoldConnectionAsync(ct);
        await context.HoldTransactionAsync(ct);
        await StandingStore.LockActiveSetAsync(context, ct);
        return await new StandingSweep(context, await RulesAsync(context, ct), todayOn).RefreshAsync(due, ct);
    }

    /// <summary>Works out every row and alert of the programme anew and compares them with what is stored; writes nothing.</summary>
    /// <param name="programmeId">The programme.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    /// <param name="reportAsync">Is told how many children are done.</param>
    /// <param name="ct">Cancels.</param>
    public async Task<DriftCounts> CompareAsync(
        Guid programmeId,
        DateOnly todayOn,
        Func<int, CancellationToken, Task>? reportAsync,
        CancellationToken ct
    )
    {
        await RefreshDueAsync(programmeId, todayOn, ct);
        await using var context = db.ForJob("recompute", programmeId);
        await context.HoldConnectionAsync(ct);
        var sweep = new StandingSweep(context, await RulesAsync(context, ct), todayOn);
        var total = default(DriftCounts);
        Guid? afterId = null;
        while (await sweep.CompareNextAsync(afterId, BatchSize, ct) is { Counts.Children: > 0 } batch)
        {
            total += batch.Counts;
            afterId = batch.LastChildId;
            if (reportAsync is not null)
            {
                await reportAsync(total.Children, ct);
            }
        }
        return total;
    }

    /// <summary>The rows of one child: pure, one per item of the interpreter's set.</summary>
    /// <param name="child">The child.</param>
    /// <param name="recorded">Everything recorded, corrections and withdrawals included.</param>
    /// <param name="interpreter">The set and the policy.</param>
    /// <param name="asOfOn">The day of the question.</param>
    public static IReadOnlyList<ItemStatus> Compute(
        Child child,
        IReadOnlyCollection<Finding> recorded,
        Interpreter interpreter,
        DateOnly asOfOn
    ) => ChildStanding.Of(new ChildRecord(child, recorded, [], [], null), new StandingRules(interpreter, AlertPolicy.Default), asOfOn).Rows;

    private async Task<StandingRules> RulesAsync(CaseloadDbContext context, CancellationToken ct)
    {
        var policy =
            context.ChangeTracker.Entries<Programme>().SingleOrDefault()?.Entity.AlertPolicy
            ?? await context.Programmes.Where(row => row.Id == context.ProgrammeId).Select(row => row.AlertPolicy).SingleAsync(ct);
        return new StandingRules(await library.GetActiveAsync(context, ct), policy);
    }

    /// <summary>Stored rows with what the unit of work changes in them, and rows that it adds.</summary>
    private static async Task<List<T>> ReadAsync<T>(IQueryable<T> stored, CaseloadDbContext context, bool isNew, CancellationToken ct)
        where T : class
    {
        var rows = isNew ? [] : await stored.ToListAsync(ct);
        var entries = context.ChangeTracker.Entries<T>().ToList();
        rows.RemoveAll(row => entries.Any(entry => entry.State == EntityState.Deleted && ReferenceEquals(entry.Entity, row)));
        rows.AddRange(entries.Where(entry => entry.State == EntityState.Added).Select(entry => entry.Entity));
        return rows;
    }

    private static async Task<DateOnly?> LastVisitOnAsync(CaseloadDbContext context, Guid childId, bool isNew, CancellationToken ct)
    {
        var unsaved = context
            .ChangeTracker.Entries<Visit>()
            .Where(entry => entry.Entity.ChildId == childId && entry.Entity.FinishedAt is not null)
            .Select(entry => (DateOnly?)entry.Entity.VisitedOn)
            .Max();
        var stored = isNew
            ? null
            : await context
                .Visits.Where(row => row.ChildId == childId && row.FinishedAt != null)
                .MaxAsync(row => (DateOnly?)row.VisitedOn, ct);
        return unsaved is null || stored > unsaved ? stored : unsaved;
    }

    private static async Task WriteRowsAsync(CaseloadDbContext context, ChildStanding standing, bool isNew, CancellationToken ct)
    {
        var childId = standing.Whole.ChildId;
        var stored = isNew ? [] : await context.ItemStatuses.Where(row => row.ChildId == childId).ToDictionaryAsync(row => row.Item, ct);
        foreach (var fresh in standing.Rows)
        {
            if (stored.Remove(fresh.Item, out var old))
            {
                context.Entry(old).CurrentValues.SetValues(fresh);
            }
            else
            {
                context.ItemStatuses.Add(fresh);
            }
        }
        context.ItemStatuses.RemoveRange(stored.Values);

        var whole = isNew ? null : await context.ChildStatuses.SingleOrDefaultAsync(row => row.ChildId == childId, ct);
        if (whole is null)
        {
            context.ChildStatuses.Add(standing.Whole);
        }
        else
        {
            context.Entry(whole).CurrentValues.SetValues(standing.Whole);
        }
    }

    private static async Task WriteAlertsAsync(
        CaseloadDbContext context,
        Child child,
        ChildStanding standing,
        List<Alert> open,
        List<RecordedFinding> findings,
        StandingRules rules,
        DateOnly asOfOn,
        CancellationToken ct
    )
    {
        var changes = AlertBook.Settle(
            standing.Wanted,
            [.. open.Select(OpenAlert.Of)],
            standing.IsClosed,
            standing.Whole.LastVisitOn,
            [.. findings.Select(row => new ClosingFinding(row.Id, row.Item, row.ObservedOn, row.RecordedAt))]
        );
        var tell = new List<(Child, Alert)>();
        foreach (var change in changes)
        {
            if (change is AlertChange.Raise raise)
            {
                var alert = AlertRows.Raise(child, standing, raise.Wanted, rules, asOfOn, context.Scope.At);
                context.Alerts.Add(alert);
                tell.Add((child, alert));
            }
            else if (open.Single(row => row.Id == change.AlertId) is var alert && AlertRows.Apply(context, alert, standing, change, rules))
            {
                tell.Add((child, alert));
            }
        }
        await AlertNotices.AnnounceAsync(context, tell, rules, asOfOn, ct);
    }
}
