using System.Globalization;
using Caseload.Integration.Tests.Store;

namespace Caseload.Integration.Tests.Year;

/// <summary>
/// Two nodes live through weeks of a programme and are killed at random; what they leave must be what two nodes leave that nobody killed.
/// By default a fortnight around the end of ISO year 2026, which has a week 53; <c>deploy/year</c> asks for a year and two hundred kills.
/// </summary>
public sealed class KilledNodesTests(MigratedPostgres postgres)
{
    private const int Readers = 4;

    [Fact]
    public async Task Nodes_KilledAtRandom_LoseNothingAndDoNothingTwice()
    {
        var (weeks, kills) = (Asked("CASELOAD_YEAR_WEEKS", 2), Asked("CASELOAD_YEAR_KILLS", 8));
        var seed = Asked("CASELOAD_YEAR_SEED", 20261126);
        var fromOn = StoreFixture.Day(weeks > 4 ? "2026-11-30" : "2026-12-21");

        var calm = await SimulatedYear.LiveAsync(postgres, fromOn, weeks, kills: 0, seed);
        var killed = await SimulatedYear.LiveAsync(postgres, fromOn, weeks, kills, seed);

        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{weeks} weeks, {killed.Kills} kills (seed {seed}): {killed.Digests.Count} digests, {killed.Alerts.Count} alerts, "
                + $"{killed.Mails.Count} messages; {killed.WindowKills} kills between sending and marking, {killed.Repeats} messages taken twice"
        );
        killed.Kills.ShouldBe(kills);
        // For each week that began and the one before, which is caught up: two clinicians, the team lead, and the lead without an address.
        calm.Digests.Count.ShouldBe((weeks + 1) * Readers);
        calm.Alerts.Count.ShouldBeGreaterThan(20);
        calm.Mails.Count.ShouldBeGreaterThan(weeks * (Readers - 1));
        (calm.WindowKills, calm.Repeats).ShouldBe((0, 0));

        DifferencesOf(killed.Digests, calm.Digests).ShouldBeEmpty();
        DifferencesOf(killed.Alerts, calm.Alerts).ShouldBeEmpty();
        DifferencesOf(killed.Mails, calm.Mails).ShouldBeEmpty();
        DifferencesOf(killed.Runs, calm.Runs).ShouldBeEmpty();
        calm.Runs.ShouldAllBe(run => run.Contains(" Done ", StringComparison.Ordinal));
        calm.Runs.Where(run => run.StartsWith("recompute", StringComparison.Ordinal))
            .ShouldAllBe(run => run.EndsWith("drift: 0 rows, 0 alerts", StringComparison.Ordinal));
        killed.UnexplainedRepeats.ShouldBe(0);
        killed.Repeats.ShouldBeLessThanOrEqualTo(killed.WindowKills);
    }

    /// <summary>What is not the same, line by line: whole texts would be pages.</summary>
    private static IEnumerable<string> DifferencesOf(IReadOnlyList<string> killed, IReadOnlyList<string> calm) =>
        killed.SequenceEqual(calm)
            ? []
            :
            [
                $"{killed.Count} instead of {calm.Count}",
                .. LinesOf(killed).Except(LinesOf(calm)).Take(10).Select(line => $"too much: {line}"),
                .. LinesOf(calm).Except(LinesOf(killed)).Take(10).Select(line => $"missing: {line}"),
            ];

    private static IEnumerable<string> LinesOf(IReadOnlyList<string> texts) => texts.SelectMany(text => text.Split('\n'));

    private static int Asked(string setting, int otherwise) =>
        Environment.GetEnvironmentVariable(setting) is { Length: > 0 } given ? int.Parse(given, CultureInfo.InvariantCulture) : otherwise;
}
