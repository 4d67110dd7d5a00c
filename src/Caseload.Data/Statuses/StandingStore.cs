using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Data.Statuses;

/// <summary>An item of a child whose day has come; no item when the whole child is meant.</summary>
internal readonly record struct DueItem(Guid ChildId, string? Item);

/// <summary>What is read of many children at once, and locked until the transaction ends.</summary>
internal sealed record StandingBatch(
    IReadOnlyList<Child> Children,
    ILookup<Guid, (Finding Finding, DateTimeOffset RecordedAt)> Findings,
    ILookup<Guid, RecordedExclusion> Exclusions,
    ILookup<Guid, RecordedSign> Signs,
    IReadOnlyDictionary<Guid, DateOnly> LastVisits,
    ILookup<Guid, OpenAlert> OpenAlerts
);

/// <summary>Reads and locks what statuses and alerts follow from.</summary>
internal static class StandingStore
{
    /// <summary>
    /// Whoever publishes a set holds the programme's row until the rebuild is saved: rows written meanwhile must wait for the new set.
    /// </summary>
    internal static Task<int> LockActiveSetAsync(CaseloadDbContext context, CancellationToken ct) =>
        context.Database.ExecuteSqlAsync($"select from programmes where programme_id = {context.ProgrammeId} for share", ct);

    /// <summary>Children, locked in the order of their ids, so that two that lock several cannot wait for each other.</summary>
    internal static Task<List<Child>> LockAsync(CaseloadDbContext context, Guid[] childIds, CancellationToken ct) =>
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

    /// <summary>The open alerts of a child, locked, so that an answer given at the same time waits.</summary>
    internal static Task<List<Alert>> LockOpenAlertsAsync(CaseloadDbContext context, Guid childId, CancellationToken ct) =>
        context
            .Alerts.FromSql(
                $"""
                select *, xmin from alerts
                where programme_id = {context.ProgrammeId} and child_id = {childId} and closed_at is null
                order by id for update
                """
            )
            .ToListAsync(ct);

    /// <summary>Items and children whose day has come, earliest first; two index probes when there are none.</summary>
    internal static async Task<List<DueItem>> FindDueAsync(CaseloadDbContext context, DateOnly todayOn, int limit, CancellationToken ct)
    {
        await using var command = Command(
            context,
            """
            (select child_id, item from item_statuses
                where programme_id = $1 and next_change_on <= $2 order by next_change_on limit $3)
            union all
            (select child_id, null from child_statuses
                where programme_id = $1 and next_change_on <= $2 order by next_change_on limit $3)
            """,
            context.ProgrammeId,
            todayOn,
            limit
        );
        var due = new List<DueItem>();
        await using var rows = await command.ExecuteReaderAsync(ct);
        while (await rows.ReadAsync(ct))
        {
            due.Add(new DueItem(rows.GetGuid(0), await rows.IsDBNullAsync(1, ct) ? null : rows.GetString(1)));
        }
        return due;
    }

    /// <summary>Locks children and reads their records; of the findings only those of the items asked for, when some are.</summary>
    internal static async Task<StandingBatch> ReadAsync(
        CaseloadDbContext context,
        Guid[] childIds,
        IReadOnlyCollection<DueItem>? items,
        CancellationToken ct
    )
    {
        var wholeIds = items is null ? childIds : items.Where(item => item.Item is null).Select(item => item.ChildId).Distinct().ToArray();
        var children = await LockAsync(context, childIds, ct);
        var findings = await ReadFindingsAsync(context, childIds, items, ct);
        var exclusions = await context.Exclusions.AsNoTracking().Where(row => EF.Parameter(childIds).Contains(row.ChildId)).ToListAsync(ct);
        var signs = await context
            .Signs.AsNoTracking()
            .Where(row => EF.Parameter(wholeIds).Contains(row.ChildId) && row.SettledOn == null)
            .ToListAsync(ct);
        var visits = await context
            .Visits.Where(row => EF.Parameter(wholeIds).Contains(row.ChildId) && row.FinishedAt != null)
            .GroupBy(row => row.ChildId)
            .Select(group => new { ChildId = group.Key, On = group.Max(row => row.VisitedOn) })
            .ToDictionaryAsync(row => row.ChildId, row => row.On, ct);
        var alerts = await ReadOpenAlertsAsync(context, childIds, items, ct);
        return new StandingBatch(
            children,
            findings.ToLookup(row => row.ChildId, row => (row.Finding, row.RecordedAt)),
            exclusions.ToLookup(row => row.ChildId),
            signs.ToLookup(row => row.ChildId),
            visits,
            alerts.ToLookup(row => row.ChildId, row => row.Open)
        );
    }

    internal static NpgsqlCommand Command(CaseloadDbContext context, string sql, params IEnumerable<object> values)
    {
        var command = new NpgsqlCommand(sql, (NpgsqlConnection)context.Database.GetDbConnection());
        foreach (var value in values)
        {
            command.Parameters.Add(new NpgsqlParameter { Value = value });
        }
        return command;
    }

    private static async Task<List<(Guid ChildId, Finding Finding, DateTimeOffset RecordedAt)>> ReadFindingsAsync(
        CaseloadDbContext context,
        Guid[] childIds,
        IReadOnlyCollection<DueItem>? items,
        CancellationToken ct
    )
    {
        const string Columns = """
            finding.child_id, finding.id, finding.item, finding.observed_on, finding.side, finding.response, finding.state,
            finding.not_tested, finding.corrects_id, finding.is_withdrawal, finding.recorded_at
            """;
        await using var command = items is null
            ? Command(
                context,
                $"select {Columns} from findings as finding where programme_id = $1 and child_id = any($2)",
                context.ProgrammeId,
                childIds
            )
            : Command(
                context,
                $"""
                select {Columns} from unnest($2, $3) as due (child_id, item)
                join findings as finding on finding.programme_id = $1 and finding.child_id = due.child_id and finding.item = due.item
                """,
                context.ProgrammeId,
                items.Where(item => item.Item is not null).Select(item => item.ChildId).ToArray(),
                items.Where(item => item.Item is not null).Select(item => item.Item!).ToArray()
            );
        var findings = new List<(Guid, Finding, DateTimeOffset)>();
        await using var rows = await command.ExecuteReaderAsync(ct);
        while (await rows.ReadAsync(ct))
        {
            findings.Add(
                (
                    rows.GetGuid(0),
                    new Finding(
                        rows.GetGuid(1),
                        rows.GetString(2),
                        rows.GetFieldValue<DateOnly>(3),
                        Word<Side>(rows, 4)!.Value,
                        Word<Response>(rows, 5),
                        Word<BehaviouralState>(rows, 6),
                        Word<NotTestedReason>(rows, 7)
                    )
                    {
                        Corrects = rows.IsDBNull(8) ? null : rows.GetGuid(8),
                        IsWithdrawal = rows.GetBoolean(9),
                    },
                    rows.GetFieldValue<DateTimeOffset>(10)
                )
            );
        }
        return findings;
    }

    private static async Task<List<(Guid ChildId, OpenAlert Open)>> ReadOpenAlertsAsync(
        CaseloadDbContext context,
        Guid[] childIds,
        IReadOnlyCollection<DueItem>? items,
        CancellationToken ct
    )
    {
        const string Columns =
            "alert.child_id, alert.id, alert.item, alert.kind, alert.step, alert.severity, alert.raised_on, alert.raised_at";
        List<DueItem> asked = [.. items?.SelectMany(AlertItemsOf) ?? []];
        await using var command = items is null
            ? Command(
                context,
                $"select {Columns} from alerts as alert where programme_id = $1 and child_id = any($2) and closed_at is null",
                context.ProgrammeId,
                childIds
            )
            : Command(
                context,
                $"""
                select {Columns} from unnest($2, $3) as due (child_id, item)
                join alerts as alert on alert.programme_id = $1 and alert.child_id = due.child_id and alert.item = due.item
                    and alert.closed_at is null
                """,
                context.ProgrammeId,
                asked.Select(item => item.ChildId).ToArray(),
                asked.Select(item => item.Item!).ToArray()
            );
        var alerts = new List<(Guid, OpenAlert)>();
        await using var rows = await command.ExecuteReaderAsync(ct);
        while (await rows.ReadAsync(ct))
        {
            alerts.Add(
                (
                    rows.GetGuid(0),
                    new OpenAlert(
                        rows.GetGuid(1),
                        rows.GetString(2),
                        Word<AlertKind>(rows, 3)!.Value,
                        rows.GetInt16(4),
                        (Concern)rows.GetInt16(5),
                        rows.GetFieldValue<DateOnly>(6),
                        rows.GetFieldValue<DateTimeOffset>(7)
                    )
                )
            );
        }
        return alerts;
    }

    /// <summary>What alerts about the whole child stand under instead of an item.</summary>
    private static IEnumerable<DueItem> AlertItemsOf(DueItem due) =>
        due.Item is not null
            ? [due]
            : Enum.GetValues<UrgentSign>().Select(sign => due with { Item = sign.ToWord() }).Append(due with { Item = Alert.WholeChild });

    private static T? Word<T>(NpgsqlDataReader rows, int column)
        where T : struct, Enum =>
        rows.IsDBNull(column)
            ? null
            : EnumWords.FromWord<T>(rows.GetString(column)) ?? throw new InvalidDataException($"Unknown {typeof(T).Name}.");
}
