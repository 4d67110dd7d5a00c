using System.Diagnostics;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.Papers;
using Caseload.Data.PrivateCluster;
using Caseload.Data.Programmes;
using Caseload.Data.Setup;
using Caseload.Web.Platform.Summaries;
using Npgsql;

namespace Caseload.Benchmarks;

/// <summary>The <c>summary</c> mode: a summary of two thousand children in every kind of file, from the first query to the last byte.</summary>
/// <remarks>
/// Promised: CSV in 2 s, XLSX in 3 s, PDF in 6 s; and after many of them the memory that is kept is what it was after the first few.
/// </remarks>
internal static class SummaryBench
{
    private const int Children = 2_000;
    private const int Rounds = 6;
    private const long MostGrowthBytes = 4_000_000;

    private static readonly (SummaryFormat Format, double MostSeconds)[] _promises =
    [
        (SummaryFormat.Csv, 2),
        (SummaryFormat.Xlsx, 3),
        (SummaryFormat.Pdf, 6),
    ];

    internal static async Task<int> RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("caseload-bench-");
        try
        {
            await using var cluster = await PrivateCluster.StartAsync(new PrivateClusterOptions(folder.FullName));
            var (source, db, programmeId) = await FillAsync(cluster);
            await using (source)
            {
                var library = new ReferenceLibrary();
                var isKept = true;
                foreach (var (format, most) in _promises)
                {
                    isKept &= await MeasureAsync(db, library, programmeId, format, most, folder.FullName);
                }
                Print($"the most memory the process ever held: {Process.GetCurrentProcess().PeakWorkingSet64 / 1e6:N0} MB");
                Print($"{(isKept ? "kept" : "BROKEN")}: every promise of the summary");
                return isKept ? 0 : 1;
            }
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task<bool> MeasureAsync(
        CaseloadDb db,
        ReferenceLibrary library,
        Guid programmeId,
        SummaryFormat format,
        double mostSeconds,
        string folder
    )
    {
        var seconds = new List<double>();
        var kept = new List<long>();
        var (count, bytes) = (0, 0L);
        for (var round = 0; round < Rounds; round++)
        {
            var watch = Stopwatch.StartNew();
            (count, bytes) = await MakeAsync(db, library, programmeId, format, Path.Combine(folder, "summary"));
            seconds.Add(watch.Elapsed.TotalSeconds);
            kept.Add(GC.GetTotalMemory(forceFullCollection: true));
        }
        var median = seconds.Order().ElementAt(Rounds / 2);
        var growth = kept[^1] - kept[1];
        Print(
            $"{format.ToString().ToUpperInvariant()}: {count:N0} children, {bytes / 1e6:N1} MB: {median:N2} s, the first {seconds[0]:N2} s (at most {mostSeconds:N0} s); kept {kept[^1] / 1e6:N1} MB, {growth / 1e6:N1} MB more than after the second (at most {MostGrowthBytes / 1e6:N0})"
        );
        return count == Children && seconds.Max() <= mostSeconds && growth <= MostGrowthBytes;
    }

    private static async Task<(int Count, long Bytes)> MakeAsync(
        CaseloadDb db,
        ReferenceLibrary library,
        Guid programmeId,
        SummaryFormat format,
        string path
    )
    {
        var now = TimeProvider.System.GetUtcNow();
        var todayOn = DateOnly.FromDateTime(now.UtcDateTime);
        await using var context = db.ForJob("bench", programmeId);
        var summary = await SummaryReading.ReadAsync(
            context,
            library,
            new SummaryAsk(todayOn, todayOn.AddDays(-28)),
            new SummarySheet("the bench", now, TimeZoneInfo.Utc, HasNames: true),
            null,
            CancellationToken.None
        );
        await using var file = new FileStream(path, FileMode.Create, FileAccess.ReadWrite);
        await SummaryFile.WriteAsync(summary, format, TimeZoneInfo.Utc, file, null, CancellationToken.None);
        return (summary.Children.Count, file.Length);
    }

    private static async Task<(NpgsqlDataSource Source, CaseloadDb Db, Guid ProgrammeId)> FillAsync(PrivateCluster cluster)
    {
        await cluster.EnsureDatabaseAsync("summary");
        var owner = cluster.OwnerConnectionStringFor("summary");
        await DatabaseSetup.MigrateAsync(owner);
        await DatabaseSetup.EnsureAppRoleGrantsAsync(owner, PrivateCluster.AppRole);
        var source = CaseloadOptions.OpenDataSource(cluster.AppConnectionStringFor("summary"));
        var db = new CaseloadDb(CaseloadOptions.For(source), TimeProvider.System);
        var programmeId = Guid.CreateVersion7(TimeProvider.System.GetUtcNow());
        await db.CreateProgrammeAsync(programmeId, "Generated", "Etc/UTC", TimeProvider.System.GetUtcNow(), CancellationToken.None);
        await using var connection = new NpgsqlConnection(owner);
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(Fill, connection) { CommandTimeout = 0 };
        command.Parameters.Add(new NpgsqlParameter { ParameterName = "children", Value = Children });
        await command.ExecuteNonQueryAsync();
        return (source, db, programmeId);
    }

    /// <summary>Children of every age below three, a fifth of them early, six visits each, five findings a visit; two in three have a clinician.</summary>
    private const string Fill = """
        select setseed(0.5);
        insert into clinicians (programme_id, id, name, initials, discipline, languages, working_days, zones, is_active)
            select programme_id, gen_random_uuid(), 'Clinician ' || number, 'C' || number, 'physical-therapy', '{}', '{}', '{}', true
            from programmes cross join generate_series(1, 20) as number;
        insert into children (programme_id, id, code, given_name, family_name, born_on, gestation_days, enrolled_on, zone, created_at, updated_at)
            select programme_id, gen_random_uuid(), 'K-' || lpad(number::text, 4, '0'), 'Given', 'Fämily-' || number,
                current_date - (number * 1094 / @children), case when number % 5 = 0 then 210 else 280 end,
                current_date - (number * 1094 / @children), 'Zone ' || number % 9, now() - interval '1 day', now()
            from programmes cross join generate_series(1, @children) as number;
        insert into assignments (programme_id, id, child_id, clinician_id, from_on, recorded_at, who)
            select child.programme_id, gen_random_uuid(), child.id, clinician.id, child.enrolled_on, now() - interval '1 day', 'bench'
            from (select *, row_number() over (order by code) as number from children) as child
            join (select *, row_number() over (order by name) as number from clinicians) as clinician
                on clinician.number = 1 + child.number % 30;
        insert into visits (programme_id, id, child_id, visited_on, started_at, finished_at)
            select programme_id, gen_random_uuid(), id, visited_on, now() - interval '1 day', now() - interval '1 day'
            from children cross join lateral (
                select distinct greatest(born_on, current_date - number * 30) as visited_on from generate_series(0, 5) as number) as day;
        insert into findings (programme_id, id, child_id, visit_id, item, observed_on, side, response, state, state_scale, is_withdrawal, recorded_at, set_key)
            select visit.programme_id, gen_random_uuid(), child_id, visit.id, item, visited_on, 'both',
                (array['absent', 'weak', 'typical'])[1 + floor(random() * 3)], 'quiet-alert', 'six states in words', false,
                now() - interval '1 day', (select active_set_key from programmes)
            from visits as visit
            cross join unnest(array['moro', 'palmar_grasp', 'atnr', 'rooting', 'galant']) as item;
        analyze;
        """;

    private static void Print(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
