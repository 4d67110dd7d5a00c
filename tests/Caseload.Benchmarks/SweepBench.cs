using System.Diagnostics;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.PrivateCluster;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Data.Statuses;
using Npgsql;

namespace Caseload.Benchmarks;

/// <summary>The <c>sweep</c> mode: the nightly sweep against a bare insert of as many alerts, on generated caseloads of two sizes.</summary>
/// <remarks>
/// Promised: at most 2.5 times the bare insert; at most 50 ms when nothing is due; at most 1.3 times as long with ten times the children and as
/// many new alerts; no table read from end to end. On a running server a sweep and a bare insert follow each other in pairs, and begin alike.
/// The bare insert writes alerts of the same sort of other children: the rows of the swept ones would lie in memory, read a moment before. Each
/// begins at a checkpoint: between two nights there are hundreds, and what is touched first after one is logged whole.
/// </remarks>
internal static class SweepBench
{
    private const double MostOverBare = 2.5;
    private const double MostIdleMilliseconds = 50;
    private const double MostGrowth = 1.3;

    /// <summary>A caseload for the program to become warm on: it runs for weeks, and compiles what it does often in its first minutes.</summary>
    private const int WarmingChildren = 20_000;

    private const int WarmingAlerts = 1_500;

    private const int PairsCounted = 5;

    /// <summary>
    /// Pairs that come before those that count, until the server's memory holds what nights have in common. A small caseload lies there whole from
    /// the start; of a large one every night touches a small part.
    /// </summary>
    private static int PairsBefore(int children) => Math.Clamp(children / 100_000, 1, 10);

    internal static async Task<int> RunAsync(int children)
    {
        // The small caseload must have as many children as all of its nights and bare inserts take.
        var alertsANight = Math.Min(8_000, children / 125);
        var folder = Directory.CreateTempSubdirectory("caseload-bench-");
        try
        {
            await using var cluster = await PrivateCluster.StartAsync(new PrivateClusterOptions(folder.FullName));
            Print($"Not counted, for the program to become warm:");
            await MeasureAsync(cluster, "warming", WarmingChildren, WarmingAlerts);
            var small = await MeasureAsync(cluster, "small", children / 10, alertsANight);
            var large = await MeasureAsync(cluster, "large", children, alertsANight);
            var growth = large.Sweep / small.Sweep;
            Print(
                $"growth from {children / 10:N0} to {children:N0} children with equal alerts: {growth:N2} times (at most {MostGrowth:N1})"
            );
            var isKept =
                large.Ratio <= MostOverBare
                && large.Idle <= MostIdleMilliseconds
                && growth <= MostGrowth
                && small.FullReads + large.FullReads == 0;
            Print($"{(isKept ? "kept" : "BROKEN")}: every promise of the sweep");
            return isKept ? 0 : 1;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task<Figures> MeasureAsync(PrivateCluster cluster, string name, int children, int alertsANight)
    {
        await cluster.EnsureDatabaseAsync(name);
        var owner = cluster.OwnerConnectionStringFor(name);
        await DatabaseSetup.MigrateAsync(owner);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(owner, PrivateCluster.AppRole);

        await using var source = CaseloadOptions.OpenDataSource(cluster.AppConnectionStringFor(name));
        var db = new CaseloadDb(CaseloadOptions.For(source), TimeProvider.System);
        var statuses = new StatusProjection(db, new ReferenceLibrary());
        var programmeId = Guid.CreateVersion7(TimeProvider.System.GetUtcNow());
        await db.CreateProgrammeAsync(programmeId, "Generated", "Etc/UTC", TimeProvider.System.GetUtcNow(), CancellationToken.None);
        await using var connection = new NpgsqlConnection(owner);
        await connection.OpenAsync();
        var watch = Stopwatch.StartNew();
        var caseload = new GeneratedCaseload(connection, programmeId, PairsBefore(children) + PairsCounted);
        await caseload.FillAsync(children, alertsANight);
        Print(
            $"{children:N0} children, {await CountAsync(connection, "item_statuses"):N0} status rows, {await CountAsync(connection, "findings"):N0} findings, {await CountAsync(connection, "alerts"):N0} open alerts; generated in {watch.Elapsed.TotalSeconds:N0} s"
        );

        var pairs = new List<Pair>();
        var fullReads = 0L;
        foreach (var on in caseload.Nights)
        {
            // Connections and plans are there in the night; the day before has nothing left to do.
            await statuses.RefreshDueAsync(programmeId, on.AddDays(-1), CancellationToken.None);
            var before = await caseload.FullReadsAsync();
            await caseload.CheckpointAsync();
            var counts = default(SweepCounts);
            var sweep = await TimeAsync(async () => counts = await statuses.RefreshDueAsync(programmeId, on, CancellationToken.None));
            var idle = await TimeAsync(() => statuses.RefreshDueAsync(programmeId, on, CancellationToken.None));
            foreach (var (table, count) in await caseload.FullReadsAsync())
            {
                if (count > before[table])
                {
                    fullReads += count - before[table];
                    Print($"  {table} was read from end to end {count - before[table]} times");
                }
            }
            await caseload.CheckpointAsync();
            var bare = await caseload.InsertBareAsync(pairs.Count);
            if (counts.Raised != alertsANight || counts.Closed + counts.Changed != 0 || bare.Count != alertsANight)
            {
                throw new InvalidOperationException(
                    $"A night raised {counts.Raised} alerts and {bare.Count} were put in bare, where {alertsANight} were planned."
                );
            }
            pairs.Add(new Pair(sweep, bare.Milliseconds, idle));
            Print(
                $"  {on:yyyy-MM-dd}: sweep {sweep:N0} ms ({counts.Rows:N0} rows, {counts.Raised:N0} alerts), bare insert {bare.Milliseconds:N0} ms, nothing due {idle:N1} ms{(pairs.Count > PairsBefore(children) ? "" : ", not counted")}"
            );
        }
        var counted = pairs.Skip(PairsBefore(children)).ToList();
        var figures = new Figures(
            Median(counted.Select(pair => pair.Sweep)),
            Median(counted.Select(pair => pair.Sweep / pair.Bare)),
            Median(counted.Select(pair => pair.Idle)),
            fullReads
        );
        Print(
            $"  medians: sweep {figures.Sweep:N0} ms, {figures.Ratio:N2} times the bare insert (at most {MostOverBare:N1}), nothing due {figures.Idle:N1} ms (at most {MostIdleMilliseconds:N0}); tables read from end to end: {fullReads}"
        );
        return figures;
    }

    private sealed record Pair(double Sweep, double Bare, double Idle);

    private sealed record Figures(double Sweep, double Ratio, double Idle, long FullReads);

    private static async Task<long> CountAsync(NpgsqlConnection connection, string table)
    {
        await using var command = new NpgsqlCommand($"select count(*) from {table}", connection);
        return (long)(await command.ExecuteScalarAsync())!;
    }

    private static async Task<double> TimeAsync(Func<Task> work)
    {
        var watch = Stopwatch.StartNew();
        await work();
        return watch.Elapsed.TotalMilliseconds;
    }

    private static double Median(IEnumerable<double> values)
    {
        var ordered = values.Order().ToList();
        return ordered.Count % 2 == 1 ? ordered[ordered.Count / 2] : (ordered[(ordered.Count / 2) - 1] + ordered[ordered.Count / 2]) / 2;
    }

    private static void Print(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
