using System.Globalization;
using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Record;

/// <summary>Asks what in a span is worth a look.</summary>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day.</param>
public sealed record ExamineRecord(DateOnly FromOn, DateOnly ThroughOn);

/// <summary>What makes access unusual. The numbers are our assumptions.</summary>
public enum UnusualKind
{
    /// <summary>A child was opened outside the own caseload, by a reason.</summary>
    ByReason,

    /// <summary>One person opened many children within an hour.</summary>
    ManyChildren,

    /// <summary>A child was opened at night.</summary>
    AtNight,

    /// <summary>Something was asked for that none of the person's roles allows, or a code that opens nothing was entered.</summary>
    Denied,

    /// <summary>Signing in failed.</summary>
    FailedSignIn,
}

/// <summary>One unusual thing.</summary>
/// <param name="At">When, by the programme's clocks.</param>
/// <param name="Who">The person.</param>
/// <param name="What">What happened, in plain words.</param>
/// <param name="ChildCode">The child's code.</param>
/// <param name="Address">From where.</param>
public sealed record UnusualRow(DateTimeOffset At, string Who, string What, string? ChildCode, string? Address);

/// <summary>The unusual things of a kind.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Count">How many.</param>
/// <param name="Rows">The newest of them.</param>
public sealed record UnusualGroup(UnusualKind Kind, int Count, IReadOnlyList<UnusualRow> Rows);

/// <summary>The last time somebody signed off.</summary>
/// <param name="On">The day.</param>
/// <param name="Who">The person.</param>
/// <param name="FromOn">First day of the span looked over.</param>
/// <param name="ThroughOn">Last day of it.</param>
public sealed record SignOff(DateOnly On, string Who, DateOnly FromOn, DateOnly ThroughOn);

/// <summary>What is worth a look.</summary>
/// <param name="Groups">Every kind, also those with nothing in them.</param>
/// <param name="LastSignOff">The last sign-off; null when there was none.</param>
public sealed record UnusualAccess(IReadOnlyList<UnusualGroup> Groups, SignOff? LastSignOff);

/// <summary>Reports unusual access.</summary>
public sealed class ExamineRecordHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>So many different children within an hour are not many.</summary>
    public const int UsualChildrenAnHour = 20;

    private const int NightFromHour = 22;
    private const int NightUntilHour = 6;
    private const int MostRows = 50;

    /// <summary>Reports.</summary>
    public async Task<UnusualAccess> HandleAsync(Actor actor, ExamineRecord request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.SearchAccessRecord, ct);
        await context.RecordLookAsync("record-searched", null, time.GetUtcNow(), ct);
        var fromAt = ProgrammeDays.StartOf(request.FromOn, actor.TimeZone);
        var untilAt = ProgrammeDays.EndOf(request.ThroughOn, actor.TimeZone);
        var report = new Report(actor.TimeZone);
        var entries = context
            .AccessEntries.AsNoTracking()
            .Where(entry => entry.At >= fromAt && entry.At < untilAt && entry.PersonId != null)
            .Where(entry =>
                entry.ChildId != null || entry.What == "denied" || entry.What == "reach-refused" || entry.What == "sign-in-failed"
            )
            .OrderBy(entry => entry.At)
            .ThenBy(entry => entry.Number);
        await foreach (var entry in entries.AsAsyncEnumerable().WithCancellation(ct))
        {
            report.Take(entry);
        }
        var ids = report.ChildIds;
        var codes = await context.Children.Where(child => ids.Contains(child.Id)).ToDictionaryAsync(row => row.Id, row => row.Code, ct);
        foreach (var gone in await context.ChildTombstones.Where(row => ids.Contains(row.ChildId)).ToListAsync(ct))
        {
            codes.TryAdd(gone.ChildId, gone.Code);
        }
        return new UnusualAccess(report.Groups(codes), await FindSignOffAsync(context, actor.TimeZone, ct));
    }

    private static async Task<SignOff?> FindSignOffAsync(CaseloadDbContext context, TimeZoneInfo zone, CancellationToken ct)
    {
        var entry = await context
            .AccessEntries.AsNoTracking()
            .Where(row => row.What == "record-examined")
            .OrderByDescending(row => row.Number)
            .FirstOrDefaultAsync(ct);
        if (entry is null)
        {
            return null;
        }
        using var detail = JsonDocument.Parse(entry.Detail);
        return new SignOff(DateOnly.FromDateTime(ProgrammeDays.In(entry.At, zone).DateTime), entry.Who, Day("from"), Day("through"));

        DateOnly Day(string name) =>
            DateOnly.ParseExact(detail.RootElement.GetProperty(name).GetString()!, "yyyy-MM-dd", CultureInfo.InvariantCulture);
    }

    /// <summary>Sorts entries, which come oldest first; keeps the newest rows of each kind.</summary>
    private sealed class Report(TimeZoneInfo zone)
    {
        private readonly Dictionary<UnusualKind, (int Count, Queue<(AccessEntry Entry, string What)> Rows)> _found =
            Enum.GetValues<UnusualKind>().ToDictionary(kind => kind, _ => (0, new Queue<(AccessEntry, string)>()));

        private readonly Dictionary<Guid, Hour> _hours = [];

        public IReadOnlyList<Guid> ChildIds =>
            [.. _found.Values.SelectMany(found => found.Rows).Select(row => row.Entry.ChildId).OfType<Guid>().Distinct()];

        public void Take(AccessEntry entry)
        {
            switch (entry.What)
            {
                case "denied" or "reach-refused":
                    Add(UnusualKind.Denied, entry);
                    return;
                case "sign-in-failed":
                    Add(UnusualKind.FailedSignIn, entry);
                    return;
            }
            if (
                entry.What is not ("child-opened" or "visit-opened")
                || entry.ChildId is not { } childId
                || entry.PersonId is not { } personId
            )
            {
                return;
            }
            if (entry.Why == "reach-by-reason")
            {
                Add(UnusualKind.ByReason, entry);
            }
            if (ProgrammeDays.In(entry.At, zone).Hour is >= NightFromHour or < NightUntilHour)
            {
                Add(UnusualKind.AtNight, entry);
            }
            if (!_hours.TryGetValue(personId, out var hour))
            {
                _hours.Add(personId, hour = new Hour());
            }
            if (hour.Take(entry.At, childId) is { } count)
            {
                Add(
                    UnusualKind.ManyChildren,
                    entry,
                    string.Create(CultureInfo.InvariantCulture, $"Opened {count} different children within an hour")
                );
            }
        }

        public IReadOnlyList<UnusualGroup> Groups(IReadOnlyDictionary<Guid, string> codes) =>
            [
                .. _found.Select(found => new UnusualGroup(
                    found.Key,
                    found.Value.Count,
                    [
                        .. found
                            .Value.Rows.Reverse()
                            .Select(row => new UnusualRow(
                                ProgrammeDays.In(row.Entry.At, zone),
                                row.Entry.Who,
                                row.What,
                                found.Key == UnusualKind.ManyChildren ? null : codes.GetValueOrDefault(row.Entry.ChildId ?? Guid.Empty),
                                row.Entry.Address
                            )),
                    ]
                )),
            ];

        private void Add(UnusualKind kind, AccessEntry entry, string? what = null)
        {
            var (count, rows) = _found[kind];
            rows.Enqueue((entry, what ?? AccessWords.Sentence(entry.What, entry.Detail)));
            if (rows.Count > MostRows)
            {
                rows.Dequeue();
            }
            _found[kind] = (count + 1, rows);
        }
    }

    /// <summary>The children one person opened within the last hour; a window that moves, so that the turn of the hour hides nothing.</summary>
    private sealed class Hour
    {
        private readonly Queue<(DateTimeOffset At, Guid ChildId)> _opened = new();
        private bool _isReported;

        /// <summary>How many different children, told once when they become more than usual; null otherwise.</summary>
        public int? Take(DateTimeOffset at, Guid childId)
        {
            _opened.Enqueue((at, childId));
            while (_opened.Peek().At <= at.AddHours(-1))
            {
                _opened.Dequeue();
            }
            var count = _opened.Select(look => look.ChildId).Distinct().Count();
            var tells = count > UsualChildrenAnHour && !_isReported;
            _isReported = count > UsualChildrenAnHour;
            return tells ? count : null;
        }
    }
}
