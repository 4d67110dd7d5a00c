using System.Collections.Concurrent;
using System.Globalization;
using Caseload.Data;
using Caseload.Data.Jobs;
using Caseload.Data.Setup;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>Who does a period, and what becomes of one that is left undone.</summary>
public sealed class JobRunTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Period_ClaimedByManyAtOnce_IsDoneOnceForEachProgramme()
    {
        var done = new ConcurrentBag<(Guid, string)>();
        var job = new PlannedJob(
            "many-at-once",
            async (run, ct) =>
            {
                await Task.Delay(20, ct);
                done.Add((run.Programme.Id, run.Period));
                return "Did it.";
            }
        );

        await Task.WhenAll(Enumerable.Range(0, 12).Select(_ => Keeper(job).AskAsync(job.Name, Ct)));
        await Keeper(job).AskAsync(job.Name, Ct);

        done.ShouldBe([(store.ProgrammeA, "first"), (store.ProgrammeB, "first")], ignoreOrder: true);
        var row = (await RunsAsync(job)).ShouldHaveSingleItem();
        (row.Outcome, row.Result, row.AttemptCount, row.Node).ShouldBe((JobOutcome.Done, "Did it.", 1, JobHold.Node));
        row.FinishedAt.ShouldBe(StoreFixture.NoonAt);
    }

    [Fact]
    public async Task Claim_TriedByManyAtOnce_IsWonByOne()
    {
        var won = await Task.WhenAll(
            Enumerable
                .Range(0, 30)
                .Select(async number =>
                {
                    await using var context = store.ContextA();
                    var at = StoreFixture.NoonAt;
                    return await JobClaims.TakeAsync(context, "race", $"period-{number % 3}", $"node-{number}", at, at.AddMinutes(2), Ct);
                })
        );

        // Three periods of one job are begun one after the other, never together.
        won.Count(attempt => attempt is not null).ShouldBe(1);
    }

    [Fact]
    public async Task DuePeriod_OfTwoZones_IsAskedForEach()
    {
        var periods = new ConcurrentDictionary<Guid, string>();
        var job = new PlannedJob("zones", run => periods[run.Programme.Id] = run.Period)
        {
            // Midnight between the two: Wednesday evening in Chicago, Thursday in Dublin.
            Due = (programme, _) =>
                programme.TodayOn(new DateTimeOffset(2026, 11, 26, 3, 0, 0, TimeSpan.Zero)).ToString("O", CultureInfo.InvariantCulture),
        };

        await Keeper(job).AskAsync(job.Name, Ct);

        (periods[store.ProgrammeA], periods[store.ProgrammeB]).ShouldBe(("2026-11-25", "2026-11-26"));
    }

    [Fact]
    public async Task Job_WithNothingDue_LeavesNoRun()
    {
        var job = new PlannedJob("nothing-due", _ => throw new InvalidOperationException("never")) { Due = (_, _) => null };

        await Keeper(job).AskAsync(job.Name, Ct);

        (await RunsAsync(job)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Failure_WithOneProgramme_DoesNotKeepItFromTheNext()
    {
        var job = new PlannedJob(
            "one-fails",
            run => run.Programme.Id == store.ProgrammeA ? throw new InvalidOperationException("Wilhelmina Invented") : "Did it."
        );

        await Keeper(job).AskAsync(job.Name, Ct);

        var failed = (await RunsAsync(job)).ShouldHaveSingleItem();
        failed.Outcome.ShouldBe(JobOutcome.Failed);
        failed.Result.ShouldNotBeNull().ShouldStartWith("It could not go on. Number for support: ");
        failed.Result.ShouldNotContain("Wilhelmina");
        (await RunsAsync(job, store.ProgrammeB)).ShouldHaveSingleItem().Outcome.ShouldBe(JobOutcome.Done);
    }

    [Fact]
    public async Task FailedRun_IsTriedAgainLaterAndLater_ThenGivenUp()
    {
        var attempts = 0;
        var job = new PlannedJob(
            "always-fails",
            run => run.Programme.Id == store.ProgrammeA && attempts++ >= 0 ? throw new InvalidOperationException("x") : ""
        );
        var time = new FakeTimeProvider(StoreFixture.NoonAt);
        await using var source = CaseloadOptions.OpenDataSource(store.Database.AppConnectionString);
        var db = new CaseloadDb(CaseloadOptions.For(source), time);
        var keeper = Keepers.Of(db, time, [job]);
        var counts = new List<int>();

        foreach (var minutes in new[] { 0, 0.9, 0.2, 4, 1.1, 24, 1.1, 124, 1.1, 10_000 })
        {
            time.Advance(TimeSpan.FromMinutes(minutes));
            await keeper.AskAsync(job.Name, Ct);
            counts.Add(attempts);
        }

        // One minute, five, twenty-five, a hundred and twenty-five; five attempts altogether.
        counts.ShouldBe([1, 1, 2, 2, 3, 3, 4, 4, 5, 5]);
        var row = (await RunsAsync(job)).ShouldHaveSingleItem();
        (row.AttemptCount, row.Outcome).ShouldBe((JobClaims.MostAttempts, JobOutcome.Failed));
    }

    [Fact]
    public async Task FailedRun_ThatSucceedsLater_IsDone()
    {
        var attempts = 0;
        var job = new PlannedJob("fails-once", _ => attempts++ == 0 ? throw new InvalidOperationException("x") : "Did it.");
        await Keeper(job).AskAsync(job.Name, Ct);

        await AgeAsync(job);
        await Keeper(job).AskAsync(job.Name, Ct);

        var row = (await RunsAsync(job)).ShouldHaveSingleItem();
        (row.AttemptCount, row.Outcome, row.Result).ShouldBe((2, JobOutcome.Done, "Did it."));
    }

    [Fact]
    public async Task UnfinishedRun_IsTakenOverAfterItsLease_AlsoWhenAnotherPeriodIsDueMeanwhile()
    {
        var done = new List<string>();
        var job = new PlannedJob("left-undone", run => AddAndSay(done, run)) { Due = (_, _) => "second" };
        await using (var context = store.ContextA())
        {
            var at = StoreFixture.NoonAt;
            (await JobClaims.TakeAsync(context, job.Name, "first", "a-dead-process", at, at.AddMinutes(2), Ct)).ShouldBe(1);
        }

        await Keeper(job).AskAsync(job.Name, Ct);
        // Programme B is another matter; in A, nothing is begun while the first period is held.
        (await RunsAsync(job))
            .Select(run => (run.Period, run.Node))
            .ShouldBe([("first", "a-dead-process")]);
        await AgeAsync(job);
        await Keeper(job).AskAsync(job.Name, Ct);

        (await RunsAsync(job))
            .Select(run => (run.Period, run.Outcome, run.AttemptCount))
            .ShouldBe([("first", JobOutcome.Done, 2), ("second", JobOutcome.Done, 1)], ignoreOrder: true);
        done.ShouldBe([$"{store.ProgrammeB} second", $"{store.ProgrammeA} first", $"{store.ProgrammeA} second"]);
    }

    [Fact]
    public async Task Run_TakenOverWhileItIsAtWork_ChangesNothingMore()
    {
        var job = new PlannedJob(
            "taken-over",
            async (run, ct) =>
            {
                if (run.Programme.Id == store.ProgrammeA)
                {
                    await store.AskOwnerAsync("update job_runs set node = 'another', attempt_count = 2 where job = 'taken-over'");
                    await Should.ThrowAsync<OperationCanceledException>(() => run.ReportAsync(1, 2, ct));
                    ct.ThrowIfCancellationRequested();
                }
                return "Did it.";
            }
        );

        await Keeper(job).AskAsync(job.Name, Ct);

        var row = (await RunsAsync(job)).ShouldHaveSingleItem();
        (row.Node, row.AttemptCount, row.DoneCount, row.FinishedAt).ShouldBe(("another", 2, 0, null));
    }

    [Fact]
    public async Task Progress_WhenReported_IsSeenAndProlongsTheLease()
    {
        JobRun? seen = null;
        var job = new PlannedJob(
            "progress",
            async (run, ct) =>
            {
                await store.AskOwnerAsync("update job_runs set lease_until = started_at where job = 'progress'");
                await run.ReportAsync(3, 7, ct);
                seen ??= (await RunsAsync("progress", run.Programme.Id)).Single();
                return "Did it.";
            }
        );

        await Keeper(job).AskAsync(job.Name, Ct);

        seen.ShouldNotBeNull();
        (seen.DoneCount, seen.TotalCount, seen.LeaseUntil, seen.FinishedAt).ShouldBe((3, 7, StoreFixture.NoonAt + JobHold.Lease, null));
    }

    [Fact]
    public async Task Run_StoppedWithItsProcess_IsGivenBackAndDoesNotCount()
    {
        using var stopping = new CancellationTokenSource();
        var job = new PlannedJob(
            "stopped",
            async (_, ct) =>
            {
                await stopping.CancelAsync();
                await Task.Delay(Timeout.Infinite, ct);
                return "never";
            }
        );

        await Should.ThrowAsync<OperationCanceledException>(() => Keeper(job).AskAsync(job.Name, stopping.Token));

        var row = (await RunsAsync(job)).ShouldHaveSingleItem();
        (row.AttemptCount, row.FinishedAt, row.LeaseUntil).ShouldBe((0, null, StoreFixture.NoonAt));
        var next = new PlannedJob("stopped", _ => "Did it.");
        await Keeper(next).AskAsync(next.Name, Ct);
        (await RunsAsync(job)).ShouldHaveSingleItem().AttemptCount.ShouldBe(1);
    }

    [Fact]
    public async Task Request_ForAPeriodThatIsDone_MakesARunOfItsOwnWithTheSamePeriod()
    {
        var periods = new List<string>();
        var job = new PlannedJob("again", run => AddAndSay(periods, run));
        var keeper = Keeper(job);
        var programme = (await store.Db.ListProgrammesAsync(Ct)).Single(row => row.Id == store.ProgrammeA);
        await keeper.AskAsync(job.Name, Ct);

        (await keeper.RequestAsync(job, programme, Ct)).ShouldBeTrue();
        (await keeper.RequestAsync(job, programme, Ct)).ShouldBeFalse("one waits already");
        await keeper.AskAsync(job.Name, Ct);
        await keeper.AskAsync(job.Name, Ct);

        periods.Count(period => period == $"{store.ProgrammeA} first").ShouldBe(2);
        (await RunsAsync(job)).Select(run => run.Period).ShouldBe(["first", "first again at 2026-11-25 18:00:00"], ignoreOrder: true);
    }

    [Fact]
    public async Task ContinuousWork_KeepsOneRun_OfTheLastTimeThatSomethingWaitedOrFailed()
    {
        var answers = new Queue<string?>([null, "Sent 2.", null, "fail", "fail", null]);
        var results = new List<string>();
        var look = new PlannedLook(
            "look",
            programme =>
                programme.Id != store.ProgrammeA ? null
                : answers.Dequeue() is var answer && answer == "fail" ? throw new InvalidOperationException("x")
                : answer
        );
        var keeper = Keepers.Of(store.Db, store.Time, [], look);

        while (answers.Count > 0)
        {
            await keeper.AskAsync(look.Name, Ct);
            var runs = await RunsAsync(look.Name, store.ProgrammeA);
            results.Add(
                runs.Count == 0 ? "none" : $"{runs.Single().Outcome} {runs.Single().AttemptCount} {runs.Single().Result?.Split('.')[0]}"
            );
        }

        results.ShouldBe([
            "none",
            "Done 1 Sent 2",
            "Done 1 Sent 2",
            "Failed 1 It could not go on",
            "Failed 2 It could not go on",
            "Done 1 Nothing waited",
        ]);
    }

    [Fact]
    public async Task Runs_OldEnough_AreForgotten()
    {
        await store.AskOwnerAsync(
            $"""
            insert into job_runs (programme_id, job, period, node, started_at, lease_until, attempt_count, done_count, finished_at, outcome)
            select '{store.ProgrammeA}', 'forgets', at::date::text, 'x', at, at, 1, 0, at, 'done'
            from unnest(array['{StoreFixture.NoonAt.AddDays(-401):O}', '{StoreFixture.NoonAt.AddDays(-399):O}']::timestamptz[]) as at
            """
        );
        var job = new PlannedJob("forgets", _ => "Did it.");

        await Keeper(job).AskAsync(job.Name, Ct);

        (await RunsAsync(job)).Count.ShouldBe(2);
    }

    private JobKeeper Keeper(PlannedJob job) => Keepers.Of(store.Db, store.Time, [job]);

    private static string AddAndSay(List<string> done, JobProgress run)
    {
        done.Add($"{run.Programme.Id} {run.Period}");
        return "Did it.";
    }

    /// <summary>As if the leases and waits of a job were over.</summary>
    private Task<object?> AgeAsync(PlannedJob job) =>
        store.AskOwnerAsync($"update job_runs set lease_until = started_at - interval '1 second' where job = '{job.Name}'");

    private Task<List<JobRun>> RunsAsync(PlannedJob job, Guid? programmeId = null) => RunsAsync(job.Name, programmeId ?? store.ProgrammeA);

    private async Task<List<JobRun>> RunsAsync(string job, Guid programmeId)
    {
        await using var context = store.Db.ForJob("test", programmeId);
        return await context.JobRuns.AsNoTracking().Where(run => run.Job == job).ToListAsync(Ct);
    }
}
