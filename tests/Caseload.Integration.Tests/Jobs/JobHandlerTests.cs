using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Jobs;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Jobs;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Integration.Tests.Jobs;

/// <summary>What the administrator sees of jobs and can set off.</summary>
public sealed class JobHandlerTests(StoreFixture store) : IClassFixture<StoreFixture>
{
    private static readonly DateTimeOffset _at = StoreFixture.NoonAt;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Jobs_Listed_TellWhereEachRunStands()
    {
        var job = new PlannedJob("listed", _ => "Did it.");
        await AddAsync(job.Name, "done", 30, attempts: 1, finished: 29, JobOutcome.Done, "Did it.");
        await AddAsync(job.Name, "failed", 25, attempts: 2, finished: 24, JobOutcome.Failed, "x", leaseIn: 3);
        await AddAsync(job.Name, "given-up", 20, JobClaims.MostAttempts, finished: 19, JobOutcome.Failed, "x");
        await AddAsync(job.Name, "broken-off", 15, attempts: 1);
        await AddAsync(job.Name, "dead", 12, JobClaims.MostAttempts);
        await AddAsync(job.Name, "running", 1, attempts: 1, leaseIn: 2);
        await AddAsync(job.Name, "done again at 2026-11-25 18:00:00", 0, attempts: 0);
        await AddAsync("of-another-version", "done", 30, attempts: 1, finished: 29, JobOutcome.Done, "x");

        var row = (await ListAsync(job)).ShouldHaveSingleItem();

        row.Runs.Select(run => $"{run.Period}: {run.State}")
            .ShouldBe([
                "done, again: Waiting",
                "running: Running",
                "dead: GivenUp",
                "broken-off: BrokenOff",
                "given-up: GivenUp",
                "failed: Failed",
                "done: Done",
            ]);
        row.IsUnderWay.ShouldBeTrue();
        // By the programme's clocks: Chicago is six hours behind.
        row.NextAt.ShouldBe(new DateTimeOffset(2026, 11, 25, 13, 0, 0, TimeSpan.FromHours(-6)));
        row.Runs[^1].StartedAt.ShouldBe(new DateTimeOffset(2026, 11, 25, 11, 30, 0, TimeSpan.FromHours(-6)));
        row.Runs[^1].Took.ShouldBe(TimeSpan.FromMinutes(1));
        row.Runs[^2].AgainAt.ShouldBe(new DateTimeOffset(2026, 11, 25, 12, 3, 0, TimeSpan.FromHours(-6)));
    }

    [Fact]
    public async Task Jobs_WithALongHistory_ShowTheNewestThirty()
    {
        var job = new PlannedJob("long-history", _ => "Did it.");
        for (var number = 0; number < 35; number++)
        {
            await AddAsync(job.Name, $"period-{number}", 100 - number, attempts: 1, finished: 100 - number, JobOutcome.Done, "x");
        }

        var runs = (await ListAsync(job)).ShouldHaveSingleItem().Runs;

        (runs.Count, runs[0].Period, runs[^1].Period).ShouldBe((30, "period-34", "period-5"));
    }

    [Fact]
    public async Task Start_OfAJob_PutsARunDownAndStandsInTheAccessRecord()
    {
        var job = new PlannedJob("started", _ => "Did it.") { Due = (_, _) => "2026-11-25" };
        var list = new JobList([job], []);
        var keeper = Keepers.Of(store.Db, store.Time, [job]);
        var signal = new JobSignal();
        var handler = new StartJobHandler(store.Db, list, keeper, signal, store.Time);

        (await handler.HandleAsync(store.LeadA, new StartJob(job.Name), Ct)).ShouldBe(StartJobOutcome.Begins);
        (await handler.HandleAsync(store.LeadA, new StartJob(job.Name), Ct)).ShouldBe(StartJobOutcome.NotNow);
        (await handler.HandleAsync(store.LeadA, new StartJob("nothing"), Ct)).ShouldBe(StartJobOutcome.Unknown);

        await foreach (var name in signal.ReadAsync(Ct))
        {
            await keeper.AskAsync(name, Ct);
            break;
        }
        var run = (await ListAsync(job)).Single().Runs.ShouldHaveSingleItem();
        (run.Period, run.State, run.AttemptCount).ShouldBe(("2026-11-25", RunState.Done, 1));
        await using var context = store.ContextA();
        var entries = await context.AccessEntries.Where(entry => entry.What == "job-requested").ToListAsync(Ct);
        entries.ShouldAllBe(entry => entry.PersonId == store.LeadA.PersonId && entry.Detail == """{"job": "started"}""");
        entries.Count.ShouldBe(2);
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Runs_InTheDatabase_AreSeenByWhoMayRunJobsAndWrittenByJobsOnly()
    {
        var administrator = await store.AddPersonAsync(store.ProgrammeA, [Role.Administrator]);
        var lead = await store.AddPersonAsync(store.ProgrammeA, [Role.TeamLead]);
        await AddAsync("rows", "one", 10, attempts: 1);
        await using (var other = store.ContextB())
        {
            (await JobClaims.TakeAsync(other, "rows", "other", "x", _at, _at.AddMinutes(2), Ct)).ShouldBe(1);
        }

        (await CountAsync(administrator)).ShouldBe(1L);
        (await CountAsync(lead)).ShouldBe(0L);
        await using var context = await store.Db.EnterAsync(administrator, Permission.RunJobs, Ct);
        (
            await context.JobRuns.Where(run => run.Job == "rows").ExecuteUpdateAsync(set => set.SetProperty(run => run.Node, "y"), Ct)
        ).ShouldBe(0);
        (await context.JobRuns.Where(run => run.Job == "rows").ExecuteDeleteAsync(Ct)).ShouldBe(0);
        var refused = await Should.ThrowAsync<PostgresException>(() => JobClaims.RequestAsync(context, "rows", "two", _at, Ct));
        refused.SqlState.ShouldBe(PostgresErrorCodes.InsufficientPrivilege);
    }

    private async Task<long> CountAsync(Actor actor)
    {
        await using var context = await store.Db.EnterAsync(actor, Permission.KeepOwnAccount, Ct);
        return await context.JobRuns.LongCountAsync(run => run.Job == "rows", Ct);
    }

    private Task<IReadOnlyList<JobRow>> ListAsync(PlannedJob job) =>
        new ListJobsHandler(store.Db, new JobList([job], []), store.Time).HandleAsync(store.LeadA, new ListJobs(), Ct);

    private async Task AddAsync(
        string job,
        string period,
        int startedMinutesAgo,
        int attempts,
        int? finished = null,
        JobOutcome? outcome = null,
        string? result = null,
        int leaseIn = -5
    )
    {
        await using var context = store.ContextA();
        context.Add(
            new JobRun
            {
                ProgrammeId = store.ProgrammeA,
                Job = job,
                Period = period,
                Node = "here:1",
                StartedAt = _at.AddMinutes(-startedMinutesAgo),
                LeaseUntil = _at.AddMinutes(leaseIn),
                AttemptCount = attempts,
                FinishedAt = finished is { } minutesAgo ? _at.AddMinutes(-minutesAgo) : null,
                Outcome = outcome,
                Result = result,
            }
        );
        await context.SaveChangesAsync(Ct);
    }
}
