using Caseload.Benchmarks;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

public sealed class SecondEngineTests
{
    private const int Seeds = 40;

    // Mutation testing runs this hundreds of times and sets the variable; a fifth of the children still meets every state.
    private static readonly int ChildrenPerSeed = Environment.GetEnvironmentVariable("CASELOAD_MUTATION") is null ? 500 : 100;

    [Fact]
    public void Evaluate_WhenAPlainSecondEngineIsAskedToo_AnswersTheSameFor20000Children()
    {
        var differences = new string?[Seeds];
        var cellsByState = new int[Seeds][];

        Parallel.For(0, Seeds, seed => (cellsByState[seed], differences[seed]) = EngineComparison.Run(seed, ChildrenPerSeed));

        differences.ShouldAllBe(difference => difference == null);
        foreach (var state in Enum.GetValues<ItemState>())
        {
            cellsByState.Sum(cells => cells[(int)state]).ShouldBeGreaterThan(ChildrenPerSeed / 5, state.ToString());
        }
    }
}
