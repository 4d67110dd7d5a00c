using Caseload.Benchmarks;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Tests.Interpretation;

public sealed class SecondEngineTests
{
    private const int Seeds = 40;
    private const int ChildrenPerSeed = 500;

    [Fact]
    public void Evaluate_WhenAPlainSecondEngineIsAskedToo_AnswersTheSameFor20000Children()
    {
        var differences = new string?[Seeds];
        var cellsByState = new int[Seeds][];

        Parallel.For(0, Seeds, seed => (cellsByState[seed], differences[seed]) = EngineComparison.Run(seed, ChildrenPerSeed));

        differences.ShouldAllBe(difference => difference == null);
        foreach (var state in Enum.GetValues<ItemState>())
        {
            cellsByState.Sum(cells => cells[(int)state]).ShouldBeGreaterThan(100, state.ToString());
        }
    }
}
