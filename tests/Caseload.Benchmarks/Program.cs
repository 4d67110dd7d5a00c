using Caseload.Benchmarks;

switch (args)
{
    case ["compare"]:
        return Comparing.Run(56_000);
    case ["compare", var count] when int.TryParse(count, out var children) && children > 0:
        return Comparing.Run(children);
    case ["bench"]:
        return Measuring.Run();
    default:
        Console.Error.WriteLine("Give a mode: compare [CHILDREN], or bench.");
        return 2;
}
