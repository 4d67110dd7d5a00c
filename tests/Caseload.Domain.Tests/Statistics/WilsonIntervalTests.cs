using Caseload.Domain.Statistics;
using CsCheck;

namespace Caseload.Domain.Tests.Statistics;

public sealed class WilsonIntervalTests
{
    [Theory]
    // Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3, four decimals as printed.
    [InlineData(81, 263, 0.2553, 0.3662)]
    [InlineData(15, 148, 0.0624, 0.1605)]
    [InlineData(0, 20, 0, 0.1611)]
    [InlineData(1, 29, 0.0061, 0.1718)]
    // Published test values of the Python package statsmodels (test_proportion.py).
    [InlineData(19, 38, 0.3485, 0.6515)]
    // Recomputed from the formula, no source.
    [InlineData(38, 38, 0.9082, 1)]
    public void Of_PublishedCases_GivesThePrintedEnds(int count, int total, double lower, double upper)
    {
        var interval = WilsonInterval.Of(count, total)!.Value;

        interval.Lower.ShouldBe(lower, 5e-5);
        interval.Upper.ShouldBe(upper, 5e-5);
    }

    [Fact]
    public void Of_NothingOutOfNothing_IsNone() => WilsonInterval.Of(0, 0).ShouldBeNull();

    [Fact]
    public void Of_AnyCount_HoldsTheShareAndNeverLeavesZeroToOne() =>
        (
            from total in Gen.Int[1, 5_000]
            from count in Gen.Int[0, total]
            from confidence in Gen.Double[0.01, 0.9999]
            select (count, total, confidence)
        ).Sample(
            (count, total, confidence) =>
            {
                var interval = WilsonInterval.Of(count, total, confidence)!.Value;
                var share = (double)count / total;

                interval.Lower.ShouldBeInRange(0, share);
                interval.Upper.ShouldBeInRange(share, 1);
                (interval.Lower == 0).ShouldBe(count == 0);
                (interval.Upper == 1).ShouldBe(count == total);
            },
            iter: 5_000
        );

    [Fact]
    public void Of_AnyCount_MirrorsWhatIsLeftOut() =>
        (from total in Gen.Int[1, 500] from count in Gen.Int[0, total] select (count, total)).Sample(
            (count, total) =>
            {
                var interval = WilsonInterval.Of(count, total)!.Value;
                var others = WilsonInterval.Of(total - count, total)!.Value;

                interval.Lower.ShouldBe(1 - others.Upper, 1e-12);
                interval.Upper.ShouldBe(1 - others.Lower, 1e-12);
            }
        );

    [Fact]
    public void Ends_OfAnyCount_AreTheSharesThatTheCountJustDoesNotContradict() =>
        // Wilson's definition: the ends solve (p̂ − p)² = z² p (1 − p) / n.
        (from total in Gen.Int[2, 500] from count in Gen.Int[1, total - 1] select (count, total)).Sample(
            (count, total) =>
            {
                var interval = WilsonInterval.Of(count, total)!.Value;
                foreach (var end in (double[])[interval.Lower, interval.Upper])
                {
                    var distance = Math.Abs((double)count / total - end) / Math.Sqrt(end * (1 - end) / total);
                    distance.ShouldBe(1.959964, 1e-6);
                }
            }
        );

    [Theory]
    [InlineData(-1, 5, 0.95)]
    [InlineData(6, 5, 0.95)]
    [InlineData(0, -1, 0.95)]
    [InlineData(1, 5, 0.0)]
    [InlineData(1, 5, 1.0)]
    [InlineData(1, 5, double.NaN)]
    public void Of_NumbersThatMakeNoSense_IsRefused(int count, int total, double confidence) =>
        Should.Throw<ArgumentOutOfRangeException>(() => WilsonInterval.Of(count, total, confidence));
}
