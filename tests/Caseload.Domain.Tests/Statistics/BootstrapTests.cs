using System.Diagnostics;
using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

public sealed class BootstrapTests
{
    private static readonly Resampling Usual = new(2026);

    [Fact]
    public void BoundsAt_TheSameSeed_AreTheSameWhateverTheOrder()
    {
        double[] ages = [5, 12, 24, 40];
        var bounds = TurnbullCurve.Of(BreastCosmesis.Radiotherapy).BoundsAt(ages, Usual);

        TurnbullCurve.Of(BreastCosmesis.Radiotherapy.Reverse()).BoundsAt(ages, Usual).ShouldBe(bounds);
        TurnbullCurve.Of(BreastCosmesis.Radiotherapy).BoundsAt(ages, Usual with { Seed = 1 }).ShouldNotBe(bounds);
        TurnbullCurve.Of(BreastCosmesis.Radiotherapy).BoundsAt([.. ages.Reverse()], Usual).ShouldBe(bounds.Reverse());
    }

    [Fact]
    public void BoundsAt_AnyAge_HoldTheEstimateAndNeverComeDown()
    {
        var curve = TurnbullCurve.Of(BreastCosmesis.WithChemotherapy);
        double[] ages = [.. Enumerable.Range(0, 62).Select(month => (double)month)];
        var bounds = curve.BoundsAt(ages, Usual);

        for (var index = 0; index < ages.Length; index++)
        {
            var share = curve.ShareReachedBy(ages[index]);
            bounds[index].Lower.ShouldBeInRange(0, share.Least);
            bounds[index].Upper.ShouldBeInRange(share.Most, 1);
        }
        bounds.Select(each => each.Lower).ShouldBeInOrder();
        bounds.Select(each => each.Upper).ShouldBeInOrder();
    }

    [Fact]
    public void BoundsAt_OfExactAges_AreNearTheIntervalOfTheProportion()
    {
        // Sixty children, of whom 24 got there at 10 and the others at 20: the share at 15 is a plain proportion, and so are its redraws.
        var curve = TurnbullCurve.Of(Enumerable.Range(0, 60).Select(child => EventInterval.At(child < 24 ? 10 : 20)));
        var bounds = curve.BoundsAt([15], new Resampling(3, 2_000))[0];
        var wilson = WilsonInterval.Of(24, 60)!.Value;

        bounds.Lower.ShouldBe(wilson.Lower, 0.03);
        bounds.Upper.ShouldBe(wilson.Upper, 0.03);
    }

    [Fact]
    public void BoundsAt_MoreConfidence_AreWider()
    {
        var curve = TurnbullCurve.Of(BreastCosmesis.Radiotherapy);
        var usual = curve.BoundsAt([24], Usual)[0];
        var wide = curve.BoundsAt([24], Usual with { Confidence = 0.99 })[0];

        wide.Lower.ShouldBeLessThan(usual.Lower);
        wide.Upper.ShouldBeGreaterThan(usual.Upper);
    }

    [Fact]
    public void BoundsAt_OfTwoHundredChildren_TakeAMomentOnly()
    {
        var curve = TurnbullCurve.Of(TwoHundred());
        double[] ages = [.. Enumerable.Range(0, 37).Select(month => month * 30.4)];
        curve.BoundsAt(ages, Usual);
        var fastest = TimeSpan.MaxValue;
        for (var attempt = 0; attempt < 3; attempt++)
        {
            var watch = Stopwatch.StartNew();
            curve.BoundsAt(ages, Usual);
            fastest = watch.Elapsed < fastest ? watch.Elapsed : fastest;
        }
        TestContext.Current.TestOutputHelper?.WriteLine($"200 children, 200 resamples: {fastest.TotalMilliseconds:N0} ms");

        // Meant are 200 ms, met also without optimization (180 ms on two cores, 30 ms with); ten times that, as other tests run beside it.
        fastest.ShouldBeLessThan(TimeSpan.FromSeconds(2));
    }

    [Theory]
    [InlineData(39, 0.95)]
    [InlineData(200, 1.0)]
    [InlineData(200, 0.0)]
    public void BoundsAt_NumbersThatMakeNoSense_AreRefused(int resamples, double confidence) =>
        Should.Throw<ArgumentOutOfRangeException>(() =>
            TurnbullCurve.Of([EventInterval.At(1)]).BoundsAt([1], new Resampling(1, resamples, confidence))
        );

    /// <summary>Invented children, seen about every six weeks, who get there about the age of six months.</summary>
    internal static IReadOnlyList<EventInterval> TwoHundred()
    {
        var draw = new SplitMix64(11);
        var times = new List<EventInterval>();
        for (var child = 0; child < 200; child++)
        {
            var reached = 60 + draw.Below(120) + draw.Below(120);
            var last = 90 + draw.Below(500);
            var before = 0;
            var look = draw.Below(60);
            while (look < reached && look < last)
            {
                before = look;
                look += 20 + draw.Below(45);
            }
            times.Add(look >= reached ? new EventInterval(before, look) : EventInterval.NotBy(before));
        }
        return times;
    }
}
