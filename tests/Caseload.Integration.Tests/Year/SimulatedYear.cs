using System.Collections.Concurrent;
using System.Globalization;
using System.Text.RegularExpressions;
using Caseload.Data.Jobs;
using Caseload.Domain;
using Caseload.Domain.Calendar;
using Caseload.Integration.Tests.Mail;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Mail;
using Microsoft.EntityFrameworkCore;
using SmtpServer.Protocol;

namespace Caseload.Integration.Tests.Year;

/// <summary>What a simulated time left behind, with everything that is drawn anew in each run taken out.</summary>
/// <param name="Alerts">Every alert with its whole life.</param>
/// <param name="Digests">Every digest with its text.</param>
/// <param name="Mails">Every message that a mail server took, each once.</param>
/// <param name="Runs">Every period of every job, and how it ended.</param>
/// <param name="Kills">How many nodes were killed.</param>
/// <param name="WindowKills">How many of them had handed over a message that was not yet marked as sent.</param>
/// <param name="Repeats">How many messages were taken once more, under their own Message-ID.</param>
/// <param name="UnexplainedRepeats">How many of those without a kill in between.</param>
internal sealed record YearOutcome(
    IReadOnlyList<string> Alerts,
    IReadOnlyList<string> Digests,
    IReadOnlyList<string> Mails,
    IReadOnlyList<string> Runs,
    int Kills,
    int WindowKills,
    int Repeats,
    int UnexplainedRepeats
);

/// <summary>Weeks of a programme's life with two nodes on one database, each a process of its own with its own mail server, some of them killed.</summary>
internal sealed partial class SimulatedYear : IAsyncDisposable
{
    private const int Nodes = 2;

    // More than any hold lasts: whatever a dead node held is free.
    private static readonly TimeSpan _untilHoldsEnd = TimeSpan.FromMinutes(11);

    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(90);
    private static readonly TimeZoneInfo _zone = TimeZoneInfo.FindSystemTimeZoneById("America/Chicago");

    /// <summary>Hours of a day at which time stops: after the sweep, before and at the day's visits, and in the evening.</summary>
    private static readonly TimeOnly[] _hours = [new(0, 30), new(9, 0), new(10, 0), new(20, 0)];

    private static readonly TimeOnly _visits = new(10, 0);

    private readonly string _folder = Directory.CreateTempSubdirectory("caseload-year-").FullName;
    private readonly StoreFixture _store;
    private readonly YearCaseload _caseload;
    private readonly SharedClock _clock;
    private readonly SmtpPeer[] _peers = [.. Enumerable.Range(0, Nodes).Select(_ => new SmtpPeer())];
    private readonly NodeProcess[] _nodes = new NodeProcess[Nodes];
    private readonly ConcurrentQueue<PlannedKill>[] _armed =
    [
        .. Enumerable.Range(0, Nodes).Select(_ => new ConcurrentQueue<PlannedKill>()),
    ];
    private readonly Dictionary<Guid, int> _takenUnmarked = [];
    private readonly ConcurrentBag<Task> _late = [];
    private int _kills;
    private bool _isOver;

    private SimulatedYear(StoreFixture store)
    {
        _store = store;
        _caseload = new YearCaseload(store);
        _clock = new SharedClock(NodeProcess.ClockPath(_folder));
        for (var node = 0; node < Nodes; node++)
        {
            Arm(node);
        }
    }

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    /// <summary>Lets weeks go by from a Monday on, with as many kills.</summary>
    internal static async Task<YearOutcome> LiveAsync(MigratedPostgres postgres, DateOnly fromOn, int weeks, int kills, int seed)
    {
        var store = new StoreFixture(postgres);
        await store.InitializeAsync();
        try
        {
            await using var year = new SimulatedYear(store);
            return await year.LiveAsync(fromOn, weeks, kills, seed);
        }
        finally
        {
            await store.DisposeAsync();
        }
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var node in _nodes)
        {
            node?.Dispose();
        }
        foreach (var peer in _peers)
        {
            await peer.DisposeAsync();
        }
        _clock.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private async Task<YearOutcome> LiveAsync(DateOnly fromOn, int weeks, int kills, int seed)
    {
        var steps = (
            from day in Enumerable.Range(0, weeks * 7)
            from hour in _hours
            select (On: fromOn.AddDays(day), Hour: hour, At: ZoneClock.FirstInstant(_zone, fromOn.AddDays(day).ToDateTime(hour)))
        ).ToList();
        var plan = new Queue<PlannedKill>(PlannedKill.Draw(kills, steps.Count, Nodes, seed));
        _store.Time.SetUtcNow(steps[0].At);
        await _caseload.FillAsync(fromOn);
        for (var node = 0; node < Nodes; node++)
        {
            Start(node);
        }
        foreach (var (step, (on, hour, at)) in steps.Index())
        {
            _store.Time.SetUtcNow(at);
            if (hour == _visits)
            {
                await _caseload.LiveAsync(on);
            }
            var now = new List<PlannedKill>();
            while (plan.TryPeek(out var next) && next.Step <= step)
            {
                now.Add(plan.Dequeue());
            }
            await SettleAsync(at, now);
        }
        // Kills that waited for a message until the end happen at work.
        var waited = _armed.SelectMany(queue => queue).Select(kill => kill with { Point = KillPoint.AtWork });
        await SettleAsync(steps[^1].At.AddHours(1), [.. waited]);
        _isOver = true;
        await Task.WhenAll(_late);
        return await ReadOutcomeAsync();
    }

    /// <summary>Lets the nodes work until nothing is left undone, with time going by only when what is left is held by somebody dead.</summary>
    private async Task SettleAsync(DateTimeOffset at, List<PlannedKill> kills)
    {
        foreach (var kill in kills.Where(kill => kill.Point != KillPoint.AtWork))
        {
            _armed[kill.Node].Enqueue(kill);
        }
        var atWork = kills.Where(kill => kill.Point == KillPoint.AtWork).ToList();
        var turns = 0;
        do
        {
            (++turns).ShouldBeLessThan(20, "The nodes do not get to an end.");
            var before = _kills;
            _clock.Show(at);
            await TurnAsync(atWork);
            atWork.Clear();
            (await NoteTakenUnmarkedAsync()).ShouldBeLessThanOrEqualTo(
                _kills - before,
                "A kill can leave one message taken and not marked."
            );
            at += _untilHoldsEnd;
        } while (await IsAnythingLeftAsync());
    }

    private async Task TurnAsync(List<PlannedKill> kills)
    {
        var killing = kills.Select(async kill =>
        {
            await Task.Delay(kill.Delay, Ct);
            await KillWhenUpAsync(kill.Node);
        });
        var all = Task.WhenAll(killing);
        var began = System.Diagnostics.Stopwatch.GetTimestamp();
        while (!all.IsCompleted || !Enumerable.Range(0, Nodes).All(node => _clock.WorkedBy(node) == _clock.Turn))
        {
            System.Diagnostics.Stopwatch.GetElapsedTime(began).ShouldBeLessThan(_patience, "A node does not come back.");
            for (var node = 0; node < Nodes; node++)
            {
                lock (_nodes)
                {
                    if (_nodes[node].HasExited)
                    {
                        _nodes[node].Dispose();
                        Start(node);
                    }
                }
            }
            await Task.Delay(1, Ct);
        }
        await all;
    }

    private void Start(int node)
    {
        _clock.PutWorked(node, 0);
        _nodes[node] = NodeProcess.Start(_store.Database.AppConnectionString, _folder, node, _peers[node].Port);
    }

    /// <summary>Kills a node; false when it was dead.</summary>
    private bool Kill(int node)
    {
        lock (_nodes)
        {
            if (_nodes[node].HasExited)
            {
                return false;
            }
            _nodes[node].Kill();
            _kills++;
            return true;
        }
    }

    /// <summary>Lets a node's mail server carry out the kills that wait for a message.</summary>
    private void Arm(int node)
    {
        _peers[node].OnRecipient = _ =>
        {
            if (TakeArmed(node, KillPoint.BeforeData) is not null)
            {
                Kill(node);
            }
            return null;
        };
        _peers[node].OnTaken = (_, _) =>
        {
            if (TakeArmed(node, KillPoint.BeforeAnswer) is not null)
            {
                Kill(node);
            }
            else if (TakeArmed(node, KillPoint.AfterAnswer) is { } kill)
            {
                _late.Add(KillLaterAsync(kill));
            }
            return Task.FromResult(SmtpResponse.Ok);
        };
    }

    private async Task KillLaterAsync(PlannedKill kill)
    {
        await Task.Delay(kill.Delay / 4, CancellationToken.None);
        await KillWhenUpAsync(kill.Node);
    }

    private async Task KillWhenUpAsync(int node)
    {
        // It may be dead already, and about to come back.
        while (!Kill(node) && !_isOver)
        {
            await Task.Delay(1, CancellationToken.None);
        }
    }

    private PlannedKill? TakeArmed(int node, KillPoint point) =>
        _armed[node].TryPeek(out var kill) && kill.Point == point && _armed[node].TryDequeue(out _) ? kill : null;

    /// <summary>Counts the messages that a server took and that nobody marked as sent: those will come once more.</summary>
    private async Task<int> NoteTakenUnmarkedAsync()
    {
        await using var context = _store.ContextA();
        var unmarked = await context.OutgoingMessages.Where(row => row.SentAt == null).Select(row => row.Id).ToListAsync(Ct);
        var taken = TakenTimes();
        var found = 0;
        foreach (var id in unmarked)
        {
            var (before, now) = (_takenUnmarked.GetValueOrDefault(id), taken.GetValueOrDefault(MailSteps.IdOf(id)));
            found += now - before;
            _takenUnmarked[id] = now;
        }
        return found;
    }

    private Dictionary<string, int> TakenTimes() =>
        _peers.SelectMany(peer => peer.TakenIds).GroupBy(id => id!).ToDictionary(group => group.Key, group => group.Count());

    private async Task<bool> IsAnythingLeftAsync()
    {
        await using var context = _store.ContextA();
        return await context.JobRuns.AnyAsync(run => run.Outcome != JobOutcome.Done, Ct)
            || await context.OutgoingMessages.AnyAsync(row => row.SentAt == null, Ct);
    }

    private async Task<YearOutcome> ReadOutcomeAsync()
    {
        await using var context = _store.ContextA();
        var alerts = await context.Alerts.AsNoTracking().Include(row => row.Child).ToListAsync(Ct);
        var people = await context.People.AsNoTracking().ToDictionaryAsync(row => row.Id, row => row.Name, Ct);
        var digests = await context.Digests.AsNoTracking().ToListAsync(Ct);
        var runs = await context.JobRuns.AsNoTracking().Where(run => run.Period != Web.Platform.Jobs.JobKeeper.Latest).ToListAsync(Ct);
        var taken = TakenTimes();
        var mails = _peers.SelectMany(peer => peer.Taken).DistinctBy(message => message.MessageId);
        return new YearOutcome(
            Ordered(
                alerts.Select(row =>
                    $"{row.Child!.Code} {row.Item} {row.Kind} {row.Step} {row.Severity} {Day(row.RaisedAt)} {row.State} {Day(row.EscalatedAt)} {Day(row.ClosedAt)} {row.ClosedBecause}"
                )
            ),
            Ordered(digests.Select(row => $"{row.Week} {row.Scope} {people[row.PersonId]} {WithoutIds(row.Text)}")),
            Ordered(mails.Select(mail => $"{mail.To} {mail.Subject} {WithoutIds(mail.TextBody!)}")),
            Ordered(runs.Select(run => $"{run.Job} {run.Period} {run.Outcome} {(run.Job == "recompute" ? run.Result : "")}")),
            _kills,
            _takenUnmarked.Values.Sum(),
            taken.Values.Sum(times => times - 1),
            taken.Sum(pair => Math.Max(0, pair.Value - 1 - ExplainedOf(pair.Key)))
        );
    }

    private int ExplainedOf(string messageId) => _takenUnmarked.GetValueOrDefault(Guid.Parse(messageId.Split('@')[0]));

    private static string Day(DateTimeOffset? at) =>
        at is { } known ? TimeZoneInfo.ConvertTime(known, _zone).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) : "-";

    private static IReadOnlyList<string> Ordered(IEnumerable<string> lines) => [.. lines.Order(StringComparer.Ordinal)];

    // Ids, and the sealed words in the address that stops optional mail, are drawn anew in each run.
    private static string WithoutIds(string text) => Drawn().Replace(text, "…");

    [GeneratedRegex("[0-9a-fA-F]{8}-[0-9a-fA-F-]{27}|CfDJ8\\S+", RegexOptions.NonBacktracking)]
    private static partial Regex Drawn();
}
