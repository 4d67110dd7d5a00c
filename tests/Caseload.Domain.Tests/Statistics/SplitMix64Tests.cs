using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

public sealed class SplitMix64Tests
{
    [Fact]
    public void Next_FromASeed_IsTheKnownSequence()
    {
        // The values that implementations of SplitMix64 commonly print for the seed 1234567; from memory.
        var draw = new SplitMix64(1234567);

        Enumerable
            .Range(0, 5)
            .Select(_ => draw.Next())
            .ShouldBe([6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821]);
    }

    [Fact]
    public void Below_ALimit_ComesUpWithEveryNumberAboutEquallyOften()
    {
        var draw = new SplitMix64(7);
        var counts = new int[12];
        for (var drawn = 0; drawn < 120_000; drawn++)
        {
            counts[draw.Below(12)]++;
        }

        // Five standard errors of 120,000 draws, each of chance 1/12; the sequence is fixed, so that this cannot fail by chance.
        counts.ShouldAllBe(count => Math.Abs(count - 10_000) < 480);
    }
}
