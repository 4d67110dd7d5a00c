using System.Globalization;
using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Reports;
using BenchmarkDotNet.Running;
using BenchmarkDotNet.Toolchains.InProcess.Emit;

namespace Caseload.Benchmarks;

/// <summary>The <c>bench</c> mode: both engines in one run, and the two promises that the batch path makes.</summary>
internal static class Measuring
{
    private const double LeastRatio = 6;

    /// <summary>Measures, prints and judges; 0 when the batch path is fast enough and allocates nothing.</summary>
    internal static int Run()
    {
        // In one process: both see the same machine, and no generated project has to pass the house's own build rules.
        var config = DefaultConfig.Instance.AddJob(Job.ShortRun.WithIterationCount(8).WithToolchain(InProcessEmitToolchain.Instance));
        var summary = BenchmarkRunner.Run<EngineBenchmarks>(config);
        var batch = ReportOf(summary, nameof(EngineBenchmarks.Batch));
        var plain = ReportOf(summary, nameof(EngineBenchmarks.Plain));
        if (batch?.ResultStatistics is not { } batchTimes || plain?.ResultStatistics is not { } plainTimes)
        {
            Console.Error.WriteLine("The benchmark did not run; see its messages above.");
            return 1;
        }

        // The best of the iterations: another process on the same machine can only add time, and must not decide.
        var ratio = plainTimes.Min / batchTimes.Min;
        var batchBytes = batch.GcStats.GetBytesAllocatedPerOperation(batch.BenchmarkCase) ?? -1;
        var plainBytes = plain.GcStats.GetBytesAllocatedPerOperation(plain.BenchmarkCase) ?? -1;
        Print($"batch path   {PerChild(batchTimes.Min)} a child, {batchBytes} B for {EngineBenchmarks.Children:N0} children");
        Print($"plain engine {PerChild(plainTimes.Min)} a child, {plainBytes / EngineBenchmarks.Children:N0} B a child");
        Print($"ratio        {ratio:N1} (at least {LeastRatio:N0} is promised)");
        var isKept = ratio >= LeastRatio && batchBytes == 0;
        Print($"{(isKept ? "kept" : "BROKEN")}: at least {LeastRatio:N0} times as fast, and nothing allocated");
        return isKept ? 0 : 1;
    }

    private static BenchmarkReport? ReportOf(Summary summary, string method) =>
        summary.Reports.FirstOrDefault(report => report.BenchmarkCase.Descriptor.WorkloadMethod.Name == method);

    private static string PerChild(double nanoseconds) =>
        string.Create(CultureInfo.InvariantCulture, $"{nanoseconds / EngineBenchmarks.Children / 1000:N2} µs");

    private static void Print(FormattableString line) => Console.WriteLine(line.ToString(CultureInfo.InvariantCulture));
}
