using System.Diagnostics;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.PrivateCluster;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Data.Statuses;
using Npgsql;

namespace Caseload.Benchmarks;

/// <summary>The <c>sweep</c> mode: the nightly sweep against a bare insert of the alerts that it raises, on generated caseloads of two sizes.</summary>
/// <remarks>
/// Promised: at most 2.5 times the bare insert; at most 50 ms when nothing is due; at most 1.3 times as long with ten times the children and as
/// many new alerts; no table read from end to end. Some nights follow each other on a running server. There the bare insert, which has to come
/// second, finds the pages that the sweep has just read, and the small caseload lies in the server's memory whole while the large one does not: what
/// differs is the memory. Other nights therefore begin each of the two on a server that was just started, with nothing in its memory and every page
/// untouched since the checkpoint. Both are printed, and the promises are held to both.
/// </remarks>
internal static class SweepBench
{
    private const double MostOverBare = 2.5;
    private const double MostIdleMilliseconds = 50;
    private const double MostGrowth = 1.3;

    internal static async Task<int> RunAsync(int children, int alertsANight)
    {
        var folder = Directory.CreateTempSubdirectory("caseload-bench-");
        try
        {
            await using var server = await Server.StartAsync(folder.FullName);
            var small = await MeasureAsync(server, children / 10, alertsANight);
            var large = await MeasureAsync(server, children, alertsANight);
            var (running, fresh) = (large.Running.Sweep / small.Running.Sweep, large.Fresh.Sweep / small.Fresh.Sweep);
            Print(
                $"growth from {children / 10:N0} to {children:N0} children with equal alerts (at most {MostGrowth:N1}): {running:N2} times on a running server, {fresh:N2} times on a server just started"
            );
            var isKept =
                Math.Max(large.Running.Ratio, large.Fresh.Ratio) <= MostOverBare
                && Math.Max(large.Running.Idle, large.Fresh.Idle) <= MostIdleMilliseconds
                && Math.Max(running, fresh) <= MostGrowth
                && small.FullReads + large.FullReads == 0;
            Print($"{(isKept ? "kept" : "BROKEN")}: every promise of the sweep");
            return isKept ? 0 : 1;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task<(Figures Running, Figures Fresh, long FullReads)> MeasureAsync(Server server, int children, int alertsANight)
    {
        var name = $"sweep_{children}";
        var cluster = server.Cluster;
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
        var caseload = new GeneratedCaseload(connection, programmeId);
        await caseload.FillAsync(children, alertsANight);
        Print($"");
        Print(
            $"{children:N0} children, {await CountAsync(connection, "item_statuses"):N0} status rows, {await CountAsync(connection, "findings"):N0} findings, {await CountAsync(connection, "alerts"):N0} open alerts; generated in {watch.Elapsed.TotalSeconds:N0} s"
        );

        var nights = new List<Night>();
        var fullReads = 0L;
        foreach (var on in GeneratedCaseload.Nights)
        {
            var isFresh = nights.Count >= GeneratedCaseload.NightsBefore + GeneratedCaseload.NightsCounted;
            await BeginAsync(isFresh);
            // Connections and plans are there in the night; the day before has nothing left to do.
            await statuses.RefreshDueAsync(programmeId, on.AddDays(-1), CancellationToken.None);
            var before = await caseload.FullReadsAsync();
            var counts = default(SweepCounts);
            var sweep = await TimeAsync(async () => counts = await statuses.RefreshDueAsync(programmeId, on, CancellationToken.None));
            foreach (var (table, count) in await caseload.FullReadsAsync())
            {
                if (count > before[table])
                {
                    fullReads += count - before[table];
                    Print($"  {table} was read from end to end {count - before[table]} times");
                }
            }
            var idle = await TimeAsync(() => statuses.RefreshDueAsync(programmeId, on, CancellationToken.None));
            if (counts.Raised != alertsANight || counts.Closed + counts.Changed != 0)
            {
                throw new InvalidOperationException($"A night raised {counts.Raised} alerts where {alertsANight} were planned.");
            }
            await caseload.TakeOutAsync(on);
            await BeginAsync(isFresh);
            var bare = await caseload.InsertBareAsync();
            Print(
                $"  {on:yyyy-MM-dd}{(isFresh ? ", server just started" : "")}: sweep {sweep:N0} ms ({counts.Rows:N0} rows, {counts.Raised:N0} alerts), bare insert {bare:N0} ms, nothing due {idle:N1} ms"
            );
            nights.Add(new Night(sweep, bare, idle));
        }
        var counted = nights.Skip(GeneratedCaseload.NightsBefore).ToList();
        Print($"  tables read from end to end in all nights: {fullReads}");
        return (
            Figures.Of("on a running server", [.. counted.Take(GeneratedCaseload.NightsCounted)]),
            Figures.Of("on a server just started", [.. counted.Skip(GeneratedCaseload.NightsCounted)]),
            fullReads
        );

        async Task BeginAsync(bool isFresh)
        {
            if (isFresh)
            {
                await connection.CloseAsync();
                source.Clear();
                NpgsqlConnection.ClearAllPools();
                await server.RestartAsync();
                await connection.OpenAsync();
            }
        }
    }

    private sealed class Server(string folder, PrivateCluster cluster) : IAsyncDisposable
    {
        internal PrivateCluster Cluster { get; private set; } = cluster;

        internal static async Task<Server> StartAsync(string folder) =>
            new(folder, await PrivateCluster.StartAsync(new PrivateClusterOptions(folder)));

        internal async Task RestartAsync()
        {
            await Cluster.DisposeAsync();
            Cluster = await PrivateCluster.StartAsync(new PrivateClusterOptions(folder));
        }

        public ValueTask DisposeAsync() => Cluster.DisposeAsync();
    }

    private sealed record Night(double Sweep, double Bare, double Idle);

    private sealed record Figures(double Sweep, double Ratio, double Idle)
    {
        internal static Figures Of(string way, IReadOnlyList<Night> nights)
        {
            var figures = new Figures(
                Median(nights.Select(night => night.Sweep)),
                Median(nights.Select(night => night.Sweep / night.Bare)),
                Median(nights.Select(night => night.Idle))
            );
            Print(
                $"  {way}, medians: sweep {figures.Sweep:N0} ms, {figures.Ratio:N2} times the bare insert (at most {MostOverBare:N1}), nothing due {figures.Idle:N1} ms (at most {MostIdleMilliseconds:N0})"
            );
            return figures;
        }
    }

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
