using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Statuses;

/// <summary>What a sweep did.</summary>
/// <param name="Children">Children looked at.</param>
/// <param name="Rows">Status rows written.</param>
/// <param name="Raised">Alerts raised.</param>
/// <param name="Changed">Alerts that became worse or eased.</param>
/// <param name="Closed">Alerts closed.</param>
public readonly record struct SweepCounts(int Children, int Rows, int Raised, int Changed, int Closed)
{
    /// <summary>Two sweeps together.</summary>
    public static SweepCounts operator +(SweepCounts left, SweepCounts right) =>
        new(
            left.Children + right.Children,
            left.Rows + right.Rows,
            left.Raised + right.Raised,
            left.Changed + right.Changed,
            left.Closed + right.Closed
        );
}

/// <summary>What a comparison of everything found.</summary>
/// <param name="Children">Children compared.</param>
/// <param name="Rows">Status rows compared.</param>
/// <param name="RowDrift">Rows that were not what the rules say.</param>
/// <param name="AlertDrift">Alerts missing, too many or of another step.</param>
public readonly record struct DriftCounts(int Children, int Rows, int RowDrift, int AlertDrift)
{
    /// <summary>Whether nothing drifted.</summary>
    public bool IsClean => RowDrift == 0 && AlertDrift == 0;

    /// <summary>Two comparisons together.</summary>
    public static DriftCounts operator +(DriftCounts left, DriftCounts right) =>
        new(left.Children + right.Children, left.Rows + right.Rows, left.RowDrift + right.RowDrift, left.AlertDrift + right.AlertDrift);
}

/// <summary>Works out many children at once with a handful of statements, whatever their number.</summary>
/// <remarks>
/// The same rules as for one child (<see cref="ChildStanding"/>, <see cref="AlertBook"/>); only the writing differs, because a unit of work of
/// thousands of tracked rows costs many times the statements that it ends in.
/// </remarks>
internal sealed class StandingSweep(CaseloadDbContext context, StandingRules rules, DateOnly asOfOn)
{
    /// <summary>Works out items whose day has come; the caller holds the transaction and the programme's row, and the save ends both.</summary>
    internal async Task<SweepCounts> RefreshAsync(IReadOnlyList<DueItem> due, CancellationToken ct)
    {
        await StandingStore.PreferIndexesAsync(context, ct);
        var itemsOf = due.ToLookup(item => item.ChildId, item => item.Item);
        var childIds = itemsOf.Select(group => group.Key).ToArray();
        var wholes = childIds.Where(id => itemsOf[id].Contains(null)).ToHashSet();
        var bounded = await BoundedAsync([.. wholes], ct);
        var everyItem = rules.Interpreter.Set.Items.Select(item => item.Id).ToHashSet();
        var pairs = due.Where(item => item.Item is null || !bounded.Contains(item.ChildId))
            .Concat(bounded.SelectMany(id => everyItem.Select(item => new DueItem(id, item))))
            .ToList();
        var batch = await StandingStore.ReadAsync(context, childIds, pairs, ct);
        return await WriteAsync(
            batch,
            childId => bounded.Contains(childId) ? everyItem : itemsOf[childId].OfType<string>().ToHashSet(),
            wholes.Contains,
            ct
        );
    }

    /// <summary>Works out all items of the next children, in the caller's transaction when one is open.</summary>
    internal async Task<(int ChildCount, Guid? LastChildId)> RebuildNextAsync(Guid? afterId, int limit, CancellationToken ct)
    {
        var ids = await NextIdsAsync(afterId, limit, ct);
        if (ids.Length == 0)
        {
            return (0, null);
        }
        await context.HoldTransactionAsync(ct);
        await StandingStore.LockActiveSetAsync(context, ct);
        var batch = await StandingStore.ReadAsync(context, ids, null, ct);
        await using (
            var stale = StandingStore.Command(
                context,
                "delete from item_statuses where programme_id = $1 and child_id = any($2) and not item = any($3)",
                context.ProgrammeId,
                ids,
                rules.Interpreter.Set.Items.Select(item => item.Id).ToArray()
            )
        )
        {
            await stale.ExecuteNonQueryAsync(ct);
        }
        await WriteAsync(batch, null, _ => true, ct);
        return (ids.Length, ids[^1]);
    }

    /// <summary>Works out all items of the next children and compares them with what is stored.</summary>
    internal async Task<(DriftCounts Counts, Guid? LastChildId)> CompareNextAsync(Guid? afterId, int limit, CancellationToken ct)
    {
        var ids = await NextIdsAsync(afterId, limit, ct);
        if (ids.Length == 0)
        {
            return (default, null);
        }
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        await StandingStore.LockActiveSetAsync(context, ct);
        var batch = await StandingStore.ReadAsync(context, ids, null, ct);
        var stored = await context
            .ItemStatuses.AsNoTracking()
            .Where(row => EF.Parameter(ids).Contains(row.ChildId))
            .ToDictionaryAsync(row => (row.ChildId, row.Item), ct);
        var wholes = await context
            .ChildStatuses.AsNoTracking()
            .Where(row => EF.Parameter(ids).Contains(row.ChildId))
            .ToDictionaryAsync(row => row.ChildId, ct);
        await transaction.CommitAsync(ct);

        var counts = new DriftCounts(ids.Length, stored.Count, 0, 0);
        foreach (var child in batch.Children)
        {
            var standing = StandingOf(batch, child, null, hasWhole: true);
            foreach (var fresh in standing.Rows)
            {
                if (!stored.Remove((child.Id, fresh.Item), out var row) || !Says(row).Equals(Says(fresh)))
                {
                    counts += new DriftCounts(0, 0, 1, 0);
                }
            }
            wholes.TryGetValue(child.Id, out var whole);
            if ((whole?.LastVisitOn, whole?.NextChangeOn) != (standing.Whole.LastVisitOn, standing.Whole.NextChangeOn) || whole is null)
            {
                counts += new DriftCounts(0, 0, 1, 0);
            }
            counts += new DriftCounts(0, 0, 0, ChangesOf(batch, child, standing).Count());
        }
        // Rows that no item asks for.
        return (counts + new DriftCounts(0, 0, stored.Count, 0), ids[^1]);
    }

    private static object Says(ItemStatus row) =>
        (
            (row.State, row.Step, row.IsConfirmed, row.SinceOn, row.Concern),
            (row.ExpectedFromOn, row.UsualFromOn, row.UsualThroughOn, row.LatestThroughOn),
            (row.CheckFromOn, row.CheckThroughOn, row.CheckPurpose, row.NextChangeOn, row.SetKey)
        );

    private async Task<Guid[]> NextIdsAsync(Guid? afterId, int limit, CancellationToken ct)
    {
        var from = afterId ?? Guid.Empty;
        return await context.Children.Where(row => row.Id > from).OrderBy(row => row.Id).Select(row => row.Id).Take(limit).ToArrayAsync(ct);
    }

    /// <summary>
    /// Children whose every item's alert may change: what keeps items from being tested may begin or end, or the programme takes the child on.
    /// </summary>
    private async Task<HashSet<Guid>> BoundedAsync(Guid[] childIds, CancellationToken ct)
    {
        if (childIds.Length == 0)
        {
            return [];
        }
        var excluded = await context
            .Exclusions.Where(row => EF.Parameter(childIds).Contains(row.ChildId))
            .Select(row => row.ChildId)
            .Distinct()
            .ToListAsync(ct);
        var takenOn = await context
            .ChildStatuses.Where(row => EF.Parameter(childIds).Contains(row.ChildId) && row.Child!.EnrolledOn > row.ComputedForOn)
            .Select(row => row.ChildId)
            .ToListAsync(ct);
        return [.. excluded, .. takenOn];
    }

    private ChildStanding StandingOf(StandingBatch batch, Child child, IReadOnlySet<string>? items, bool hasWhole) =>
        ChildStanding.Of(
            new ChildRecord(
                child,
                [.. batch.Findings[child.Id].Select(row => row.Finding)],
                [.. batch.Exclusions[child.Id].Select(row => row.ToExclusion())],
                [.. batch.Signs[child.Id]],
                batch.LastVisits.TryGetValue(child.Id, out var on) ? on : null
            ),
            rules,
            asOfOn,
            items,
            hasWhole
        );

    private static IEnumerable<AlertChange> ChangesOf(StandingBatch batch, Child child, ChildStanding standing) =>
        AlertBook.Settle(
            standing.Wanted,
            [.. batch.OpenAlerts[child.Id]],
            standing.IsClosed,
            standing.Whole.LastVisitOn,
            [
                .. batch
                    .Findings[child.Id]
                    .Select(row => new ClosingFinding(row.Finding.Id, row.Finding.Item, row.Finding.ObservedOn, row.RecordedAt)),
            ]
        );

    /// <summary>Writes the rows and alerts of a batch; the save ends the transaction unless the caller holds it.</summary>
    private async Task<SweepCounts> WriteAsync(
        StandingBatch batch,
        Func<Guid, IReadOnlySet<string>>? itemsOf,
        Func<Guid, bool> hasWhole,
        CancellationToken ct
    )
    {
        var rows = new List<ItemStatus>();
        var wholes = new List<ChildStatus>();
        var raised = new List<(Child Child, Alert Alert)>();
        var others = new List<(Child Child, ChildStanding Standing, AlertChange Change)>();
        foreach (var child in batch.Children)
        {
            var items = itemsOf?.Invoke(child.Id);
            var standing = StandingOf(batch, child, items, hasWhole(child.Id));
            rows.AddRange(standing.Rows);
            if (hasWhole(child.Id))
            {
                wholes.Add(standing.Whole);
            }
            foreach (var change in ChangesOf(batch, child, standing))
            {
                if (change is AlertChange.Raise raise)
                {
                    raised.Add((child, AlertRows.Raise(child, standing, raise.Wanted, rules, asOfOn, context.Scope.At)));
                }
                else
                {
                    others.Add((child, standing, change));
                }
            }
        }
        await StandingRows.UpsertAsync(context, rows, ct);
        await StandingRows.UpsertAsync(context, wholes, ct);
        await StandingRows.InsertAsync(context, [.. raised.Select(pair => pair.Alert)], ct);
        if (raised.Count > 0)
        {
            context.NoteAlerts();
        }
        var worse = await ApplyAsync(others, ct);
        await AlertNotices.AnnounceAsync(context, [.. raised, .. worse], rules, asOfOn, ct);
        await context.SaveChangesAsync(ct);
        Forget();
        var closed = others.Count(other => other.Change is AlertChange.Close);
        return new SweepCounts(batch.Children.Count, rows.Count, raised.Count, others.Count - closed, closed);
    }

    private async Task<List<(Child Child, Alert Alert)>> ApplyAsync(
        List<(Child Child, ChildStanding Standing, AlertChange Change)> changes,
        CancellationToken ct
    )
    {
        var ids = changes.Select(change => change.Change.AlertId!.Value).ToArray();
        var alerts =
            ids.Length == 0
                ? []
                : await context.Alerts.Where(row => EF.Parameter(ids).Contains(row.Id)).ToDictionaryAsync(row => row.Id, ct);
        var worse = new List<(Child, Alert)>();
        foreach (var (child, standing, change) in changes)
        {
            var alert = alerts[change.AlertId!.Value];
            if (AlertRows.Apply(context, alert, standing, change, rules))
            {
                worse.Add((child, alert));
            }
        }
        return worse;
    }

    private void Forget()
    {
        foreach (
            var entry in context.ChangeTracker.Entries().Where(entry => entry.Entity is Alert or AlertStep or Mail.OutgoingMessage).ToList()
        )
        {
            entry.State = EntityState.Detached;
        }
    }
}

/// <summary>Writes many rows with one statement each.</summary>
internal static class StandingRows
{
    internal static async Task UpsertAsync(CaseloadDbContext context, IReadOnlyCollection<ItemStatus> rows, CancellationToken ct)
    {
        if (rows.Count == 0)
        {
            return;
        }
        await using var command = StandingStore.Command(
            context,
            """
            insert into item_statuses (programme_id, child_id, item, state, step, is_confirmed, since_on, concern, expected_from_on,
                usual_from_on, usual_through_on, latest_through_on, check_from_on, check_through_on, check_purpose, next_change_on,
                computed_for_on, set_key)
            select $1, * from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18)
            on conflict (programme_id, child_id, item) do update set
                state = excluded.state, step = excluded.step, is_confirmed = excluded.is_confirmed, since_on = excluded.since_on,
                concern = excluded.concern, expected_from_on = excluded.expected_from_on, usual_from_on = excluded.usual_from_on,
                usual_through_on = excluded.usual_through_on, latest_through_on = excluded.latest_through_on,
                check_from_on = excluded.check_from_on, check_through_on = excluded.check_through_on,
                check_purpose = excluded.check_purpose, next_change_on = excluded.next_change_on,
                computed_for_on = excluded.computed_for_on, set_key = excluded.set_key
            """,
            context.ProgrammeId,
            rows.Select(row => row.ChildId).ToArray(),
            rows.Select(row => row.Item).ToArray(),
            rows.Select(row => row.State.ToWord()).ToArray(),
            rows.Select(row => row.Step).ToArray(),
            rows.Select(row => row.IsConfirmed).ToArray(),
            rows.Select(row => row.SinceOn).ToArray(),
            rows.Select(row => (short)row.Concern).ToArray(),
            rows.Select(row => row.ExpectedFromOn).ToArray(),
            rows.Select(row => row.UsualFromOn).ToArray(),
            rows.Select(row => row.UsualThroughOn).ToArray(),
            rows.Select(row => row.LatestThroughOn).ToArray(),
            rows.Select(row => row.CheckFromOn).ToArray(),
            rows.Select(row => row.CheckThroughOn).ToArray(),
            rows.Select(row => row.CheckPurpose.ToWord()).ToArray(),
            rows.Select(row => row.NextChangeOn).ToArray(),
            rows.Select(row => row.ComputedForOn).ToArray(),
            rows.Select(row => row.SetKey).ToArray()
        );
        await command.ExecuteNonQueryAsync(ct);
    }

    internal static async Task UpsertAsync(CaseloadDbContext context, IReadOnlyCollection<ChildStatus> rows, CancellationToken ct)
    {
        if (rows.Count == 0)
        {
            return;
        }
        await using var command = StandingStore.Command(
            context,
            """
            insert into child_statuses (programme_id, child_id, last_visit_on, next_change_on, computed_for_on)
            select $1, * from unnest($2, $3, $4, $5)
            on conflict (programme_id, child_id) do update set
                last_visit_on = excluded.last_visit_on, next_change_on = excluded.next_change_on, computed_for_on = excluded.computed_for_on
            """,
            context.ProgrammeId,
            rows.Select(row => row.ChildId).ToArray(),
            rows.Select(row => row.LastVisitOn).ToArray(),
            rows.Select(row => row.NextChangeOn).ToArray(),
            rows.Select(row => row.ComputedForOn).ToArray()
        );
        await command.ExecuteNonQueryAsync(ct);
    }

    internal static async Task InsertAsync(CaseloadDbContext context, IReadOnlyCollection<Alert> alerts, CancellationToken ct)
    {
        if (alerts.Count == 0)
        {
            return;
        }
        await using var command = StandingStore.Command(
            context,
            """
            insert into alerts (programme_id, id, child_id, item, kind, step, severity, since_on, reasons, set_key, state, raised_on,
                raised_at, answer_by)
            select $1, id, child_id, item, kind, step, severity, since_on, reasons::jsonb, $11, $12, $13, $14, answer_by
            from unnest($2, $3, $4, $5, $6, $7, $8, $9, $10) as fresh (id, child_id, item, kind, step, severity, since_on, reasons, answer_by)
            """,
            context.ProgrammeId,
            alerts.Select(row => row.Id).ToArray(),
            alerts.Select(row => row.ChildId).ToArray(),
            alerts.Select(row => row.Item).ToArray(),
            alerts.Select(row => row.Kind.ToWord()).ToArray(),
            alerts.Select(row => row.Step).ToArray(),
            alerts.Select(row => (short)row.Severity).ToArray(),
            alerts.Select(row => row.SinceOn).ToArray(),
            alerts.Select(row => row.Reasons).ToArray(),
            alerts.Select(row => row.AnswerBy!.Value.UtcDateTime).ToArray(),
            alerts.First().SetKey,
            AlertState.Open.ToWord(),
            alerts.First().RaisedOn,
            alerts.First().RaisedAt.UtcDateTime
        );
        await command.ExecuteNonQueryAsync(ct);
    }
}
