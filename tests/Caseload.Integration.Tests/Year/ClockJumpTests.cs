using Caseload.Data.Jobs;
using Caseload.Integration.Tests.Mail;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Jobs;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Year;

/// <summary>A machine whose clock is set a day wrong and put right again, around a Monday morning on which digests are due.</summary>
public sealed class ClockJumpTests(MigratedPostgres postgres) : IDisposable
{
    // Sunday evening in Chicago.
    private static readonly DateTimeOffset _eveningAt = new(2026, 12, 6, 20, 0, 0, TimeSpan.FromHours(-6));

    private readonly string _folder = Directory.CreateTempSubdirectory("caseload-jump-").FullName;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(new[] { 0, 24, 0, 12, 24, 36 })]
    [InlineData(new[] { 0, 12, -12, 12, 13, 36 })]
    [InlineData(new[] { 12, -12, 24, 0, 36, 12, 37 })]
    [InlineData(new[] { 0, 24 * 7, 0, 12, 24, (24 * 7) + 12 })]
    public async Task Clock_ThatJumpsADayOrAWeek_DoesNothingTwiceAndLosesNothing(int[] hours)
    {
        var store = new StoreFixture(postgres);
        await store.InitializeAsync();
        try
        {
            await new YearCaseload(store).FillAsync(new DateOnly(2026, 12, 6));
            using var clock = new SharedClock(NodeProcess.ClockPath(_folder));
            await using var peer = new SmtpPeer();
            await using var services = NodeProcess
                .ServicesOf(store.Database.AppConnectionString, _folder, peer.Port, clock)
                .BuildServiceProvider();
            var keeper = services.GetRequiredService<JobKeeper>();
            foreach (var hour in hours)
            {
                clock.Show(_eveningAt.AddHours(hour));
                foreach (var (name, _) in services.GetRequiredService<JobList>().Asked)
                {
                    await keeper.AskAsync(name, Ct);
                }
            }

            await using var context = store.ContextA();
            var weeks = hours.Max() > 24 * 7 ? 3 : 2;
            var digests = await context
                .Digests.AsNoTracking()
                .Select(row => new
                {
                    row.PersonId,
                    row.Scope,
                    row.Week,
                })
                .ToListAsync(Ct);
            digests.Count.ShouldBe(weeks * 4);
            digests.Distinct().Count().ShouldBe(digests.Count);
            peer.TakenIds.ShouldBeUnique();
            var messages = await context.OutgoingMessages.AsNoTracking().ToListAsync(Ct);
            messages.ShouldAllBe(row => row.SentAt != null && row.AttemptCount == 1);
            peer.Taken.Count.ShouldBe(messages.Count);
            (await context.JobRuns.AsNoTracking().ToListAsync(Ct)).ShouldAllBe(run => run.Outcome == JobOutcome.Done);
            var lastOn = DateOnly.FromDateTime(_eveningAt.AddHours(hours.Max()).DateTime);
            await store.Statuses.RefreshDueAsync(store.ProgrammeA, lastOn, Ct);
            (await store.Statuses.CompareAsync(store.ProgrammeA, lastOn, (_, _) => Task.CompletedTask, Ct)).IsClean.ShouldBeTrue();
        }
        finally
        {
            await store.DisposeAsync();
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
