using System.Diagnostics;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Npgsql;
using NpgsqlTypes;

namespace Caseload.Benchmarks;

/// <summary>A caseload of any size, written past the application by the owner, whose nights raise as many alerts as wanted.</summary>
/// <remarks>
/// Children of one birth date and one history stand alike, so each such kind is worked out once by the rules and multiplied by the server. Children
/// of quiet kinds have nothing due within the planned days; the others have something due on exactly one. One child in ten holds the open alerts that
/// the rules give it. The children of half of the days are swept on their day; the alerts of the others' days are put in bare, so that both ways of
/// writing meet children whom nobody has touched.
/// </remarks>
internal sealed class GeneratedCaseload
{
    private static readonly DateOnly _beforeOn = new(2026, 11, 24);
    private static readonly string[] _tables =
    [
        "children",
        "item_statuses",
        "child_statuses",
        "findings",
        "visits",
        "alerts",
        "child_exclusions",
    ];

    /// <summary>Within so many days everybody has something due on one day at most; the same for every size, so that their children are alike.</summary>
    private const int DaysPlanned = 30;

    private readonly NpgsqlConnection _owner;
    private readonly Guid _programmeId;
    private readonly List<DateOnly> _bareDays;

    /// <param name="owner">An open connection of the owner, who writes past row policies.</param>
    /// <param name="programmeId">The programme, which is there.</param>
    /// <param name="nights">How many nights are swept, and on how many other days alerts are put in bare.</param>
    internal GeneratedCaseload(NpgsqlConnection owner, Guid programmeId, int nights)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(2 * nights, DaysPlanned);
        _owner = owner;
        _programmeId = programmeId;
        Nights = [.. Enumerable.Range(1, nights).Select(day => _beforeOn.AddDays(day))];
        _bareDays = [.. Nights.Select(on => on.AddDays(nights))];
    }

    /// <summary>The nights that are swept. The days whose alerts are put in bare lie after them and never come.</summary>
    internal IReadOnlyList<DateOnly> Nights { get; }

    /// <summary>Writes the caseload.</summary>
    internal async Task FillAsync(int children, int alertsANight)
    {
        var kinds = Kinds();
        var quiet = kinds.Where(kind => kind.DueOn is null).ToList();
        var plan = new List<(Kind Kind, int Count)>();
        foreach (var on in Nights.Concat(_bareDays))
        {
            var due = kinds.Where(kind => kind.DueOn == on && kind.NewAlerts is [_]).ToList();
            if (due.Count == 0)
            {
                throw new InvalidOperationException($"No kind of child has exactly one alert due on {on:yyyy-MM-dd}.");
            }
            plan.AddRange(Share(due, alertsANight));
        }
        var rest = children - plan.Sum(part => part.Count);
        if (rest < 0)
        {
            throw new InvalidOperationException(
                $"{Nights.Count + _bareDays.Count} days of {alertsANight} alerts need more than {children} children."
            );
        }
        plan.AddRange(Share(quiet, rest));

        await RunAsync("set session_replication_role = replica");
        await RunAsync(
            """
            create temp table kinds (kind int primary key, born_on date, visited_on date, child_count int);
            create temp table kind_rows (kind int, item text, state text, step smallint, is_confirmed boolean, since_on date, concern smallint,
                expected_from_on date, usual_from_on date, usual_through_on date, latest_through_on date, check_from_on date,
                check_through_on date, check_purpose text, next_change_on date);
            create temp table kind_wholes (kind int, next_change_on date);
            create temp table kind_alerts (kind int, item text, alert_kind text, step smallint, severity smallint, since_on date, reasons text);
            create temp table kind_new_alerts (kind int, due_on date, item text, alert_kind text, step smallint, severity smallint, since_on date,
                reasons text, answer_by timestamptz);
            create temp table kind_findings (kind int, item text, observed_on date, response text);
            """
        );
        for (var index = 0; index < plan.Count; index++)
        {
            await CopyKindAsync(index, plan[index].Kind, plan[index].Count);
        }
        var indexes = await TakeIndexesAsync();
        foreach (var statement in _multiply)
        {
            await RunAsync(statement);
        }
        for (var pair = 0; pair < _bareDays.Count; pair++)
        {
            await RunAsync(
                $"""
                create table bare_{pair} (like alerts);
                insert into bare_{pair} (programme_id, id, child_id, item, kind, step, severity, since_on, reasons, set_key, state, raised_on, raised_at,
                    answer_by)
                -- Ids of one time, as a night's are.
                select programme_id, ('019ac{pair:x3}-0000-7000-8000-' || lpad(to_hex(row_number() over (order by child.id)), 12, '0'))::uuid, child.id,
                    item, alert_kind, step, severity, since_on, reasons::jsonb, (select active_set_key from programmes), 'open', due_on, now(), answer_by
                from children as child join kind_new_alerts as alert on alert.kind = child.family_name::int
                where due_on = '{_bareDays[pair]:yyyy-MM-dd}' order by child.id
                """
            );
        }
        foreach (var index in indexes)
        {
            await RunAsync(index);
        }
        await RunAsync("set session_replication_role = origin");
        await RunAsync("vacuum analyze");
        await RunAsync("checkpoint");
    }

    /// <summary>How many times a table was read from end to end so far, whatever its part in the sweep.</summary>
    internal async Task<Dictionary<string, long>> FullReadsAsync()
    {
        // Counters of other backends arrive when these end their transaction, or a second later.
        await Task.Delay(1500);
        await RunAsync("select pg_stat_force_next_flush(); select pg_stat_clear_snapshot()");
        await using var command = new NpgsqlCommand("select relname, seq_scan from pg_stat_user_tables where relname = any($1)", _owner)
        {
            Parameters = { new() { Value = _tables } },
        };
        var counts = new Dictionary<string, long>();
        await using var rows = await command.ExecuteReaderAsync();
        while (await rows.ReadAsync())
        {
            counts.Add(rows.GetString(0), rows.GetInt64(1));
        }
        return counts;
    }

    /// <summary>Has the server write down everything, as it does every few minutes: pages touched next are logged whole again.</summary>
    internal Task CheckpointAsync() => RunAsync("checkpoint");

    /// <summary>Puts in the alerts of as many children as a night sweeps, with one statement and without row policies.</summary>
    /// <param name="pair">Which of the pairs, from 0; each once.</param>
    /// <returns>How many alerts, and the milliseconds.</returns>
    internal async Task<(int Count, double Milliseconds)> InsertBareAsync(int pair)
    {
        // A connection that has not met the tables learns them by one row, which is not kept.
        await RunAsync($"begin; insert into alerts select * from bare_{pair} limit 1; rollback; select count(*) from bare_{pair}");
        var watch = Stopwatch.StartNew();
        await using var command = new NpgsqlCommand($"insert into alerts select * from bare_{pair}", _owner);
        var count = await command.ExecuteNonQueryAsync();
        return (count, watch.Elapsed.TotalMilliseconds);
    }

    private static readonly string[] _multiply =
    [
        """
            insert into children (programme_id, id, code, given_name, family_name, born_on, gestation_days, enrolled_on, clinician_id, created_at, updated_at)
            -- Ids in the order of time, as the application makes them; what falls due on a day is spread over all of them.
            select (select programme_id from programmes), lpad(to_hex(number), 32, '0')::uuid, 'K-' || lpad(number::text, 7, '0'), 'Given', kind::text,
                born_on, 280, born_on, null, now(), now()
            from (
                select *, row_number() over (order by random()) as number from kinds cross join generate_series(1, child_count)
            ) as numbered
            order by number
            """,
        "analyze children",
        """
            insert into visits (programme_id, id, child_id, visited_on, started_at, finished_at)
            select programme_id, gen_random_uuid(), id, visited_on, now(), now() from children join kinds on kind = family_name::int
            """,
        """
            insert into findings (programme_id, id, child_id, visit_id, item, observed_on, side, response, state, state_scale, is_withdrawal, recorded_at, set_key)
            select child.programme_id, gen_random_uuid(), child.id, visit.id, finding.item, finding.observed_on, 'both', finding.response, 'quiet-alert',
                'six states in words', false, now(), (select active_set_key from programmes)
            from children as child join kind_findings as finding on finding.kind = child.family_name::int join visits as visit on visit.child_id = child.id
            """,
        """
            insert into child_statuses (programme_id, child_id, last_visit_on, next_change_on, computed_for_on)
            select programme_id, id, visited_on, next_change_on, '2026-11-24'
            from children join kinds on kinds.kind = family_name::int join kind_wholes on kind_wholes.kind = kinds.kind
            """,
        """
            insert into alerts (programme_id, id, child_id, item, kind, step, severity, since_on, reasons, set_key, state, raised_on, raised_at)
            select programme_id, gen_random_uuid(), child.id, item, alert_kind, step, severity, since_on, reasons::jsonb,
                (select active_set_key from programmes), 'acknowledged', '2026-11-24', now()
            from children as child join kinds on kinds.kind = family_name::int join kind_alerts as alert on alert.kind = kinds.kind
            where child.code like '%0'
            """,
        """
            insert into item_statuses (programme_id, child_id, item, state, step, is_confirmed, since_on, concern, expected_from_on, usual_from_on,
                usual_through_on, latest_through_on, check_from_on, check_through_on, check_purpose, next_change_on, computed_for_on, set_key)
            select programme_id, child.id, item, state, step, is_confirmed, since_on, concern, expected_from_on, usual_from_on, usual_through_on,
                latest_through_on, check_from_on, check_through_on, check_purpose, next_change_on, '2026-11-24', (select active_set_key from programmes)
            from children as child join kind_rows as row on row.kind = child.family_name::int
            """,
    ];

    private List<Kind> Kinds()
    {
        var rules = new StandingRules(new Interpreter(ReferenceSets.Default, ReviewPolicy.Default), AlertPolicy.Default);
        var kinds = new List<Kind>();
        for (var ageDays = 1; ageDays <= 1095; ageDays++)
        {
            var bornOn = _beforeOn.AddDays(-ageDays);
            foreach (var looks in Histories(bornOn))
            {
                var visitedOn = _beforeOn.AddDays(-Math.Min(ageDays, 20));
                var record = new ChildRecord(ChildOf(bornOn), looks, [], [], visitedOn);
                var standing = ChildStanding.Of(record, rules, _beforeOn);
                var changes = standing
                    .Rows.Select(row => row.NextChangeOn)
                    .Append(standing.Whole.NextChangeOn)
                    .OfType<DateOnly>()
                    .Where(on => on <= _beforeOn.AddDays(DaysPlanned))
                    .ToList();
                if (changes.Distinct().Count() > 1)
                {
                    continue;
                }
                DateOnly? dueOn = changes.Count == 0 ? null : changes[0];
                kinds.Add(
                    new Kind(bornOn, visitedOn, looks, standing, dueOn, dueOn is { } on ? NewAlerts(record, standing, rules, on) : [])
                );
            }
        }
        return kinds;
    }

    /// <summary>The alerts that a day brings; none when it closes or changes one, because a bare insert does not.</summary>
    private static List<object?[]> NewAlerts(ChildRecord record, ChildStanding before, StandingRules rules, DateOnly on)
    {
        var after = ChildStanding.Of(record, rules, on);
        var old = before.Wanted.Select(Key).ToList();
        if (!old.TrueForAll(after.Wanted.Select(Key).Contains))
        {
            return [];
        }
        return
        [
            .. after
                .Wanted.Where(wanted => !old.Contains(Key(wanted)))
                .Select(wanted =>
                    (object?[])
                        [
                            on,
                            .. ColumnsOf(after, wanted),
                            TimeProvider.System.GetUtcNow() + rules.AlertPolicy.AnswerWithin(wanted.Call.Severity),
                        ]
                ),
        ];

        static (string, object, int) Key(WantedAlert wanted) => (wanted.Item, wanted.Call.Kind, wanted.Call.Step);
    }

    private static object?[] ColumnsOf(ChildStanding standing, WantedAlert wanted) =>
        [
            wanted.Item,
            wanted.Call.Kind.ToWord(),
            (short)wanted.Call.Step,
            (short)wanted.Call.Severity,
            ItemWindow.ToDate(wanted.Call.Since),
            AlertReason.ToJson(standing.ReasonsOf(wanted)),
        ];

    private static IEnumerable<List<Finding>> Histories(DateOnly bornOn)
    {
        yield return [];
        yield return [Look(bornOn, "moro", 21, Response.Typical)];
        yield return
        [
            Look(bornOn, "moro", 21, Response.Typical),
            Look(bornOn, "palmar_grasp", 60, Response.Typical),
            Look(bornOn, "atnr", 60, Response.Weak),
        ];
    }

    private static Finding Look(DateOnly bornOn, string item, int ageDays, Response response)
    {
        var on = bornOn.AddDays(ageDays);
        return new Finding(
            Guid.CreateVersion7(DateTimeOffset.UnixEpoch),
            item,
            on < _beforeOn ? on : _beforeOn.AddDays(-1),
            Side.Both,
            response,
            BehaviouralState.QuietAlert
        );
    }

    private Child ChildOf(DateOnly bornOn) =>
        new()
        {
            ProgrammeId = _programmeId,
            Id = Guid.Empty,
            Code = "",
            GivenName = "",
            FamilyName = "",
            BornOn = bornOn,
            GestationDays = 280,
            EnrolledOn = bornOn,
            CreatedAt = DateTimeOffset.UnixEpoch,
            UpdatedAt = DateTimeOffset.UnixEpoch,
        };

    private static IEnumerable<(Kind Kind, int Count)> Share(List<Kind> kinds, int count)
    {
        for (var index = 0; index < kinds.Count; index++)
        {
            var share = (count * (long)(index + 1) / kinds.Count) - (count * (long)index / kinds.Count);
            if (share > 0)
            {
                yield return (kinds[index], (int)share);
            }
        }
    }

    private async Task CopyKindAsync(int number, Kind kind, int count)
    {
        await CopyAsync(
            "kinds",
            [
                [number, kind.BornOn, kind.VisitedOn, count],
            ]
        );
        await CopyAsync(
            "kind_wholes",
            [
                [number, kind.Standing.Whole.NextChangeOn],
            ]
        );
        await CopyAsync(
            "kind_rows",
            kind.Standing.Rows.Select(row =>
                (object?[])
                    [
                        number,
                        row.Item,
                        row.State.ToWord(),
                        row.Step,
                        row.IsConfirmed,
                        row.SinceOn,
                        (short)row.Concern,
                        row.ExpectedFromOn,
                        row.UsualFromOn,
                        row.UsualThroughOn,
                        row.LatestThroughOn,
                        row.CheckFromOn,
                        row.CheckThroughOn,
                        row.CheckPurpose.ToWord(),
                        row.NextChangeOn,
                    ]
            )
        );
        await CopyAsync("kind_alerts", kind.Standing.Wanted.Select(wanted => (object?[])[number, .. ColumnsOf(kind.Standing, wanted)]));
        await CopyAsync("kind_new_alerts", kind.NewAlerts.Select(alert => (object?[])[number, .. alert]));
        await CopyAsync(
            "kind_findings",
            kind.Findings.Select(finding => (object?[])[number, finding.Item, finding.ObservedOn, finding.Response!.Value.ToWord()])
        );
    }

    private async Task CopyAsync(string table, IEnumerable<object?[]> rows)
    {
        await using var writer = await _owner.BeginBinaryImportAsync($"copy {table} from stdin (format binary)");
        foreach (var row in rows)
        {
            await writer.StartRowAsync();
            foreach (var value in row)
            {
                switch (value)
                {
                    case null:
                        await writer.WriteNullAsync();
                        break;
                    case DateOnly on:
                        await writer.WriteAsync(on, NpgsqlDbType.Date);
                        break;
                    default:
                        await writer.WriteAsync(value);
                        break;
                }
            }
        }
        await writer.CompleteAsync();
    }

    /// <summary>Drops the indexes that no constraint needs; the statements that make them again.</summary>
    private async Task<List<string>> TakeIndexesAsync()
    {
        var indexes = new List<(string Name, string Definition)>();
        await using (
            var command = new NpgsqlCommand(
                """
                select indexrelid::regclass::text, pg_get_indexdef(indexrelid) from pg_index
                where indrelid = any($1::text[]::regclass[]) and not exists (select from pg_constraint where conindid = indexrelid)
                """,
                _owner
            )
            {
                Parameters = { new() { Value = _tables } },
            }
        )
        await using (var rows = await command.ExecuteReaderAsync())
        {
            while (await rows.ReadAsync())
            {
                indexes.Add((rows.GetString(0), rows.GetString(1)));
            }
        }
        foreach (var (name, _) in indexes)
        {
            await RunAsync($"drop index {name}");
        }
        return [.. indexes.Select(index => index.Definition)];
    }

    private async Task RunAsync(string sql)
    {
        await using var command = new NpgsqlCommand(sql, _owner) { CommandTimeout = 0 };
        await command.ExecuteNonQueryAsync();
    }

    private sealed record Kind(
        DateOnly BornOn,
        DateOnly VisitedOn,
        List<Finding> Findings,
        ChildStanding Standing,
        DateOnly? DueOn,
        IReadOnlyList<object?[]> NewAlerts
    );
}
