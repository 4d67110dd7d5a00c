using System.Diagnostics;
using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Interpretation;

namespace Caseload.Benchmarks;

/// <summary>The <c>compare</c> mode: both engines on invented children, spread over the processors.</summary>
internal static class Comparing
{
    private const int ChildrenPerSeed = 500;

    /// <summary>Compares and prints; 0 when every answer is equal.</summary>
    internal static int Run(int children)
    {
        var started = Stopwatch.GetTimestamp();
        var cells = new int[Enum.GetValues<ItemState>().Length];
        string? difference = null;
        Parallel.For(
            0,
            (children + ChildrenPerSeed - 1) / ChildrenPerSeed,
            (seed, loop) =>
            {
                var (compared, found) = EngineComparison.Run(seed, Math.Min(ChildrenPerSeed, children - seed * ChildrenPerSeed));
                for (var state = 0; state < cells.Length; state++)
                {
                    Interlocked.Add(ref cells[state], compared[state]);
                }
                if (found is not null)
                {
                    Interlocked.CompareExchange(ref difference, found, null);
                    loop.Stop();
                }
            }
        );
        Console.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"compared {cells.Sum(count => (long)count):N0} answers of {children:N0} children in {Stopwatch.GetElapsedTime(started).TotalSeconds:N1} s: {(difference is null ? "all equal" : "DIFFERENT")}"
            )
        );
        Console.WriteLine(string.Join(", ", cells.Select((count, state) => $"{((ItemState)state).ToWord()} {count}")));
        if (difference is not null)
        {
            Console.Error.WriteLine(difference);
        }
        return difference is null ? 0 : 1;
    }
}
