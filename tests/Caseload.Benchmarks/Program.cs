using Caseload.Benchmarks;

switch (args)
{
    case ["compare"]:
        return Comparing.Run(56_000);
    case ["compare", var count] when int.TryParse(count, out var children) && children > 0:
        return Comparing.Run(children);
    case ["bench"]:
        return Measuring.Run();
    case ["matrix"]:
        return await MatrixBench.RunAsync();
    case ["summary"]:
        return await SummaryBench.RunAsync();
    case ["sweep"]:
        return await SweepBench.RunAsync(1_000_000);
    case ["sweep", var count] when int.TryParse(count, out var sweptChildren) && sweptChildren >= 100_000:
        return await SweepBench.RunAsync(sweptChildren);
    default:
        Console.Error.WriteLine("Give a mode: compare [CHILDREN], bench, matrix, summary, or sweep [CHILDREN] (100000 at least).");
        return 2;
}
