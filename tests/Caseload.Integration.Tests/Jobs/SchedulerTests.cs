using System.Diagnostics;
using Caseload.Data;
using Caseload.Data.Jobs;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Npgsql;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>The scheduler on its tables: who may touch them, and what it does when a process or the database goes away.</summary>
public sealed class SchedulerTests(MigratedPostgres postgres) : IDisposable
{
    private const string Check = "record-check";

    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(90);

    private readonly string _dataFolder = Directory.CreateTempSubdirectory("caseload-jobs-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    [Trait("Requirement", "SEC-51")]
    public async Task Tables_OfTheScheduler_AreTheOwnersInASchemaOfTheirOwn()
    {
        await using var store = await MakeStoreAsync();

        (
            await store.AskOwnerAsync(
                $"""
                select count(*) filter (where schemaname = 'scheduler') || ' ' || count(*) filter (where schemaname <> 'scheduler') || ' '
                || count(*) filter (where tableowner = '{StoreFixture.AppRole}') from pg_tables where tablename like 'qrtz%'
                """
            )
        ).ShouldBe("15 0 0");
        foreach (
            var sql in new[]
            {
                "create table scheduler.mine (id int)",
                "drop table scheduler.qrtz_locks",
                "alter table scheduler.qrtz_locks add mine int",
                "truncate scheduler.qrtz_locks",
                "create schema mine",
            }
        )
        {
            var refused = await Should.ThrowAsync<PostgresException>(() => StoreFixture.AskAsync(store.Database.AppConnectionString, sql));
            refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege, sql);
        }
        (await StoreFixture.AskAsync(store.Database.AppConnectionString, "select count(*) from scheduler.qrtz_locks")).ShouldBe(0L);
    }

    [Fact]
    public async Task TwoSchedulers_OnOneDatabase_DoEveryPeriodOnce()
    {
        await using var store = await MakeStoreAsync();
        using var one = Steady();
        using var other = Steady();
        await Task.WhenAll(one.StartAsync(Ct), other.StartAsync(Ct));

        await UntilAsync(async () => (await RunsAsync(store, SteadyJob.Word)).Count(run => run.FinishedAt is not null) >= 5);

        (await store.AskOwnerAsync("select count(*) from scheduler.qrtz_scheduler_state")).ShouldBe(2L);
        await Task.WhenAll(one.StopAsync(Ct), other.StopAsync(Ct));
        var finished = (await RunsAsync(store, SteadyJob.Word)).Where(run => run.FinishedAt is not null).ToList();
        finished.ShouldAllBe(run => run.Outcome == JobOutcome.Done && run.AttemptCount == 1);
        foreach (var run in finished)
        {
            (await CountEntriesAsync(store, SteadyJob.Worked, $"and detail ->> 'period' = 'p{run.Period}'")).ShouldBe(1L, run.Period);
        }

        IHost Steady() =>
            JobHost.Build(
                store.Database.AppConnectionString,
                provider => new SteadyJob(provider.GetRequiredService<CaseloadDb>(), TimeProvider.System)
            );
    }

    [Fact]
    public async Task TwoApplications_OneKilledInTheMiddleOfARun_LeaveOneFinishedRun()
    {
        await using var store = await MakeStoreAsync();
        await using var connection = new NpgsqlConnection(store.Database.OwnerConnectionString);
        await connection.OpenAsync(Ct);
        // The nightly check has to wait in its middle until this is let go.
        await using var held = await connection.BeginTransactionAsync(Ct);
        await using (var command = new NpgsqlCommand("lock table access_entries in access exclusive mode", connection, held))
        {
            await command.ExecuteNonQueryAsync(Ct);
        }
        await using var one = await ApplicationProcess.StartAsync(store.Database.AppConnectionString, _dataFolder);
        await using var other = await ApplicationProcess.StartAsync(store.Database.AppConnectionString, _dataFolder);
        await UntilAsync(async () =>
            (await RunsAsync(store, Check)).Count == 1
            && (long)(await store.AskOwnerAsync("select count(*) from scheduler.qrtz_scheduler_state"))! == 2
        );

        var begun = (await RunsAsync(store, Check)).Single();
        var (victim, survivor) = begun.Node.EndsWith($":{one.Id}", StringComparison.Ordinal) ? (one, other) : (other, one);
        begun.Node.Split(':')[1].ShouldBe(victim.Id);
        await victim.KillAsync();
        await held.RollbackAsync(Ct);
        // As if the dead one's lease and the time until the next question had gone by. The scheduler keeps .NET ticks; what is long past would
        // wait for its own search for missed times, a minute.
        await store.AskOwnerAsync(
            $"""
            update job_runs set lease_until = started_at where node like '%:{victim.Id}';
            update scheduler.qrtz_triggers set next_fire_time = {TimeProvider.System.GetUtcNow().UtcTicks}
            """
        );
        await UntilAsync(async () => (await RunsAsync(store, Check)).Single().FinishedAt is not null);

        var run = (await RunsAsync(store, Check)).ShouldHaveSingleItem();
        (run.Outcome, run.AttemptCount, run.Node.Split(':')[1]).ShouldBe((JobOutcome.Done, 2, survivor.Id));
        (await CountEntriesAsync(store, "record-verified", "")).ShouldBe(1L);
    }

    [Fact]
    public async Task Database_AwayForAWhile_IsGoneBackToByItself()
    {
        await using var store = await MakeStoreAsync();
        var count = 0;
        using var host = JobHost.Build(
            store.Database.AppConnectionString,
            _ => new PlannedJob("counts", _ => $"{Interlocked.Increment(ref count)}") { Due = (_, at) => $"{at.ToUnixTimeSeconds()}" }
        );
        await host.StartAsync(Ct);
        await UntilAsync(() => Task.FromResult(Volatile.Read(ref count) > 2));

        await LockOutAsync(store, isOut: true);
        var before = Volatile.Read(ref count);
        await Task.Delay(3000, Ct);
        Volatile.Read(ref count).ShouldBeLessThanOrEqualTo(before + 1);
        await LockOutAsync(store, isOut: false);

        await UntilAsync(() => Task.FromResult(Volatile.Read(ref count) > before + 4));
        await host.StopAsync(Ct);
    }

    [Fact]
    public async Task Host_StoppedInTheMiddleOfARun_GivesItBackAndStopsSoon()
    {
        await using var store = await MakeStoreAsync();
        var begun = new TaskCompletionSource();
        using var host = JobHost.Build(
            store.Database.AppConnectionString,
            _ => new PlannedJob(
                "endless",
                async (_, ct) =>
                {
                    begun.TrySetResult();
                    await Task.Delay(Timeout.Infinite, ct);
                    return "never";
                }
            )
        );
        await host.StartAsync(Ct);
        await begun.Task.WaitAsync(_patience, Ct);

        var watch = Stopwatch.StartNew();
        await host.StopAsync(Ct);

        watch.Elapsed.ShouldBeLessThan(TimeSpan.FromSeconds(15));
        await using var context = store.ContextA();
        var run = await context.JobRuns.SingleAsync(row => row.Job == "endless", Ct);
        (run.FinishedAt, run.AttemptCount).ShouldBe((null, 0));
        run.LeaseUntil.ShouldBeLessThan(run.StartedAt + JobHold.Lease);
    }

    [Fact]
    public void Clock_OfTheScheduler_DoesNotBecomeTheApplications()
    {
        var fixedDay = new FixedDayTime(StoreFixture.TodayOn);
        using var services = new ServiceCollection().AddLogging().AddSingleton<TimeProvider>(fixedDay).AddJobs().BuildServiceProvider();

        services.GetRequiredService<TimeProvider>().ShouldBeSameAs(fixedDay);
    }

    [Fact]
    public async Task Nudge_OfAJob_AsksItAtOnce()
    {
        await using var store = await MakeStoreAsync();
        var periods = new System.Collections.Concurrent.ConcurrentQueue<string>();
        var job = new PlannedJob("nudged", run => Said(periods, run)) { Every = TimeSpan.FromHours(1) };
        using var host = JobHost.Build(store.Database.AppConnectionString, _ => job);
        await host.StartAsync(Ct);
        await UntilAsync(() => Task.FromResult(periods.Count == 2));

        job.Due = (_, _) => "second";
        host.Services.GetRequiredService<JobSignal>().Nudge(job.Name);

        await UntilAsync(() => Task.FromResult(periods.Count == 4));
        periods.ShouldBe(["first", "first", "second", "second"]);
        await host.StopAsync(Ct);
    }

    public void Dispose() => Directory.Delete(_dataFolder, recursive: true);

    private static string Said(System.Collections.Concurrent.ConcurrentQueue<string> periods, JobProgress run)
    {
        periods.Enqueue(run.Period);
        return "Did it.";
    }

    private async Task<StoreFixture> MakeStoreAsync()
    {
        var store = new StoreFixture(postgres);
        await store.InitializeAsync();
        return store;
    }

    private static async Task<List<JobRun>> RunsAsync(StoreFixture store, string job)
    {
        await using var context = store.ContextA();
        return await context.JobRuns.AsNoTracking().Where(run => run.Job == job).ToListAsync(Ct);
    }

    private static async Task<long> CountEntriesAsync(StoreFixture store, string what, string more) =>
        (long)
            (
                await store.AskOwnerAsync(
                    $"select count(*) from access_entries where programme_id = '{store.ProgrammeA}' and what = '{what}' {more}"
                )
            )!;

    /// <summary>Ends every connection of the application to its database and lets it make no new one, or lets it again.</summary>
    private static Task<object?> LockOutAsync(StoreFixture store, bool isOut)
    {
        var elsewhere = new NpgsqlConnectionStringBuilder(store.Database.OwnerConnectionString) { Database = "postgres", Pooling = false };
        return StoreFixture.AskAsync(
            elsewhere.ConnectionString,
            $"""
            alter database "{store.Database.Name}" with allow_connections {!isOut};
            select count(pg_terminate_backend(pid)) from pg_stat_activity where datname = '{store.Database.Name}'
            """
        );
    }

    private static async Task UntilAsync(Func<Task<bool>> isSo)
    {
        var watch = Stopwatch.StartNew();
        while (!await isSo())
        {
            watch.Elapsed.ShouldBeLessThan(_patience);
            await Task.Delay(50, Ct);
        }
    }
}
