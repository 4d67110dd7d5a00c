using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using System.Text;
using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>Random observations against another implementation: survfit of the R package survival, where it is installed.</summary>
public sealed class SurvfitComparisonTests
{
    private const int SetCount = 12;

    private const string Script = """
        suppressPackageStartupMessages(library(survival))
        all <- read.table(file("stdin"))
        for (set in unique(all$V1)) {
          one <- all[all$V1 == set, ]
          fit <- survfit(Surv(one$V2, one$V3, type = "interval2") ~ 1)
          cat(sprintf("%d %.17g %.17g\n", set, fit$time, fit$surv), sep = "")
        }
        """;

    [Fact]
    public async Task Of_RandomObservations_GivesEachTheChanceThatSurvfitGives()
    {
        var sets = Enumerable.Range(1, SetCount).Select(Observations).ToList();
        var other = await AskSurvfitAsync(sets, TestContext.Current.CancellationToken);
        var furthest = 0.0;
        for (var set = 0; set < SetCount; set++)
        {
            var curve = TurnbullCurve.Of(sets[set]);
            var steps = other.Where(line => line.Set == set + 1).ToList();
            var logLikelihood = 0.0;
            foreach (var one in sets[set])
            {
                var ours = ChanceOf(one, age => 1 - curve.ShareReachedBy(age).Least);
                var theirs = ChanceOf(one, age => steps.LastOrDefault(step => step.Age <= age, (0, 0, 1)).Remaining);
                furthest = Math.Max(furthest, Math.Abs(ours - theirs));
                logLikelihood += Math.Log(theirs);
            }
            // Theirs stops as soon as a step changes the curve by less than 5e-5, short of the top; ours must not be below it.
            curve.LogLikelihood.ShouldBeInRange(logLikelihood - 1e-9, logLikelihood + 0.05, $"set {set + 1}");
        }
        TestContext.Current.TestOutputHelper?.WriteLine($"furthest apart: {furthest:F5}");
        furthest.ShouldBeLessThan(0.01);
    }

    /// <summary>The chance of what was observed. Of all that an estimate says, this alone is the same for every best one.</summary>
    private static double ChanceOf(EventInterval observation, Func<double, double> remainingAt) =>
        observation.IsExact ? remainingAt(observation.After - 1e-6) - remainingAt(observation.After)
        : observation.Through is { } through ? remainingAt(observation.After) - remainingAt(through)
        : remainingAt(observation.After);

    /// <summary>Invented: looks every few weeks; in every third set some ages are exact.</summary>
    private static List<EventInterval> Observations(int set)
    {
        var draw = new SplitMix64((ulong)set);
        var observations = new List<EventInterval>();
        for (var child = 0; child < 60 + 10 * set; child++)
        {
            var after = 10 + draw.Below(40) + draw.Below(40);
            var kind = draw.Below(10);
            observations.Add(
                kind < 2 ? EventInterval.NotBy(after)
                : kind == 2 && set % 3 == 0 ? EventInterval.At(after)
                : new EventInterval(after, after + 1 + draw.Below(25))
            );
        }
        return observations;
    }

    private static async Task<List<(int Set, double Age, double Remaining)>> AskSurvfitAsync(
        List<List<EventInterval>> sets,
        CancellationToken ct
    )
    {
        var start = new ProcessStartInfo("Rscript", ["--vanilla", "-e", Script])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        using var process = StartOrSkip(start);
        var input = new StringBuilder();
        for (var set = 0; set < sets.Count; set++)
        {
            foreach (var one in sets[set])
            {
                var through = one.Through?.ToString(CultureInfo.InvariantCulture) ?? "NA";
                input.Append(CultureInfo.InvariantCulture, $"{set + 1} {one.After} {through}\n");
            }
        }
        var output = process.StandardOutput.ReadToEndAsync(ct);
        var trouble = process.StandardError.ReadToEndAsync(ct);
        try
        {
            await process.StandardInput.WriteAsync(input, ct);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // It has ended without reading; what it says on its way out is looked at below.
        }
        await process.WaitForExitAsync(ct);
        var complaint = await trouble;
        Assert.SkipWhen(
            complaint.Contains("there is no package called", StringComparison.Ordinal),
            "Not compared: R is installed without the package survival (Debian: r-cran-survival)."
        );
        process.ExitCode.ShouldBe(0, complaint);
        return
        [
            .. (await output)
                .Split('\n', StringSplitOptions.RemoveEmptyEntries)
                .Select(line => line.Split(' '))
                .Select(words =>
                    (
                        int.Parse(words[0], CultureInfo.InvariantCulture),
                        double.Parse(words[1], CultureInfo.InvariantCulture),
                        double.Parse(words[2], CultureInfo.InvariantCulture)
                    )
                ),
        ];
    }

    private static Process StartOrSkip(ProcessStartInfo start)
    {
        Process? process = null;
        try
        {
            process = Process.Start(start);
        }
        catch (Win32Exception)
        {
            // Not installed.
        }
        Assert.SkipWhen(process is null, "Not compared: Rscript is not installed (Debian: r-cran-survival).");
        return process!;
    }
}
