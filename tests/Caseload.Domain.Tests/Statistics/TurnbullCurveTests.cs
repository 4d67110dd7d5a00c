using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>Published estimates, and examples that can be worked out by hand.</summary>
public sealed class TurnbullCurveTests
{
    /// <summary>
    /// Masses as printed, to four decimals, by Fay and Shaw, vignette of the R package interval (Journal of Statistical Software 36,
    /// 2010); pooled masses, log-likelihoods and numbers of candidates recomputed independently by expectation and maximization to a change of 1e-13.
    /// </summary>
    public static TheoryData<string, IReadOnlyList<EventInterval>, int, double, string> Published { get; } =
        new()
        {
            {
                "radiotherapy",
                BreastCosmesis.Radiotherapy,
                14,
                -58.060022,
                "(4,5] 0.0463 (6,7] 0.0334 (7,8] 0.0887 (11,12] 0.0708 (24,25] 0.0926 (33,34] 0.0818 (38,40] 0.1209 (46,48] 0.4656"
            },
            {
                "radiotherapy and chemotherapy",
                BreastCosmesis.WithChemotherapy,
                19,
                -65.636965,
                "(4,5] 0.0433 (5,8] 0.0433 (11,12] 0.0692 (16,17] 0.1454 (18,19] 0.1411 (19,20] 0.1157 (24,25] 0.0999 (30,31] 0.0709 "
                    + "(35,36] 0.1608 (44,48] 0.0552 (48,60] 0.0552"
            },
            {
                "pooled",
                [.. BreastCosmesis.Radiotherapy, .. BreastCosmesis.WithChemotherapy],
                31,
                -136.963804,
                "(4,5] 0.0449 (6,7] 0.0226 (7,8] 0.0560 (11,12] 0.0790 (16,17] 0.0605 (18,19] 0.0216 (19,20] 0.1441 (24,25] 0.0497 "
                    + "(30,31] 0.0911 (38,39] 0.1264 (46,48] 0.1869 (48,60] 0.1170"
            },
        };

    [Theory]
    [MemberData(nameof(Published))]
    public void Intervals_OfTheBreastCosmesisStudy_AreThePublishedOnes(
        string arm,
        IReadOnlyList<EventInterval> observations,
        int candidates,
        double logLikelihood,
        string expected
    )
    {
        var curve = TurnbullCurve.Of(observations);

        string.Join(' ', curve.Intervals.Select(interval => FormattableString.Invariant($"{InWords(interval)} {interval.Mass:F4}")))
            .ShouldBe(expected, arm);
        curve.Candidates.Count.ShouldBe(candidates);
        curve.LogLikelihood.ShouldBe(logLikelihood, 1e-6);
        curve.IsOptimal.ShouldBeTrue();
        KuhnTucker.ShouldHold(curve, observations);
        curve.Steps.ShouldBeLessThan(30);
    }

    [Fact]
    public void RemainingAfter_OfTheRadiotherapyArm_IsTheRecomputedCurve() =>
        // Recomputed independently from the same data, six decimals.
        TurnbullCurve
            .Of(BreastCosmesis.Radiotherapy)
            .Intervals.Select(interval => Math.Round(interval.RemainingAfter, 6))
            .ShouldBe([0.953653, 0.920290, 0.831622, 0.760870, 0.668224, 0.586438, 0.465558, 0]);

    [Fact]
    public void Median_OfTheBreastCosmesisStudy_IsAnInterval()
    {
        InWords(TurnbullCurve.Of(BreastCosmesis.Radiotherapy).Median!.Value).ShouldBe("(38,40]");
        InWords(TurnbullCurve.Of(BreastCosmesis.WithChemotherapy).Median!.Value).ShouldBe("(19,20]");
    }

    [Fact]
    public void Of_WhateverTheOrder_SaysExactlyTheSame()
    {
        var curve = TurnbullCurve.Of(BreastCosmesis.Radiotherapy);
        var turned = TurnbullCurve.Of(BreastCosmesis.Radiotherapy.Reverse());

        turned.Candidates.ShouldBe(curve.Candidates);
        turned.LogLikelihood.ShouldBe(curve.LogLikelihood);
    }

    /// <summary>Worked out by hand.</summary>
    public static TheoryData<string, IReadOnlyList<EventInterval>, string> ByHand { get; } =
        new()
        {
            { "two in one, one before, one undecided", [new(0, 1), new(1, 2), new(1, 2), new(0, 2)], "(0,1] 0.3333 (1,2] 0.6667" },
            { "as Kaplan–Meier", [new(0, 1), new(1, null), new(1, 2), new(2, 3)], "(0,1] 0.2500 (1,2] 0.3750 (2,3] 0.3750" },
            { "one child", [new(3, 5)], "(3,5] 1.0000" },
            { "none has got there", [new(3, null), new(7, null), new(5, null)], "(7,∞) 1.0000" },
            { "an end before the beginning at the same age", [new(4, 5), new(5, 8)], "(4,5] 0.5000 (5,8] 0.5000" },
            { "an exact age at the end of an interval lies in it", [new(4, 5), EventInterval.At(5)], "[5] 1.0000" },
            { "an exact age at the beginning of an interval does not", [new(4, 5), EventInterval.At(4)], "[4] 0.5000 (4,5] 0.5000" },
            { "not yet at an age and there at that age", [EventInterval.At(4), EventInterval.NotBy(4)], "[4] 0.5000 (4,∞) 0.5000" },
            { "overlapping", [new(0, 4), new(2, 6)], "(2,4] 1.0000" },
            { "before birth", [new(-3, -1), new(-2, 2), new(0, 4)], "(-2,-1] 0.5000 (0,2] 0.5000" },
        };

    [Theory]
    [MemberData(nameof(ByHand))]
    public void Intervals_OfAFew_AreAsWorkedOutByHand(string situation, IReadOnlyList<EventInterval> observations, string expected)
    {
        var curve = TurnbullCurve.Of(observations);

        string.Join(' ', curve.Intervals.Select(interval => FormattableString.Invariant($"{InWords(interval)} {interval.Mass:F4}")))
            .ShouldBe(expected, situation);
        KuhnTucker.ShouldHold(curve, observations);
    }

    [Fact]
    public void Of_Nobody_IsRefused() => Should.Throw<ArgumentException>(() => TurnbullCurve.Of([]));

    [Theory]
    [InlineData(double.NaN, 1.0)]
    [InlineData(double.NegativeInfinity, 1.0)]
    [InlineData(0.0, double.PositiveInfinity)]
    [InlineData(0.0, double.NaN)]
    [InlineData(2.0, 1.0)]
    public void EventInterval_WhenItMakesNoSense_IsRefused(double after, double through) =>
        Should.Throw<ArgumentOutOfRangeException>(() => new EventInterval(after, through));

    [Theory]
    // {(0,1], (1,2], (1,2], (0,2], (2,∞)}: inside an interval with mass the share is unknown, at its right end it is known.
    [InlineData(-1, 0, 0)]
    [InlineData(0, 0, 0)]
    [InlineData(0.5, 0, 0.26667)]
    [InlineData(1, 0.26667, 0.26667)]
    [InlineData(1.9, 0.26667, 0.8)]
    [InlineData(2, 0.8, 0.8)]
    [InlineData(2.1, 0.8, 1)]
    [InlineData(1000, 0.8, 1)]
    public void ShareReachedBy_InsideAnInterval_IsKnownBetweenBounds(double age, double least, double most)
    {
        var share = TurnbullCurve.Of([new(0, 1), new(1, 2), new(1, 2), new(0, 2), new(2, null)]).ShareReachedBy(age);

        share.Least.ShouldBe(least, 1e-5);
        share.Most.ShouldBe(most, 1e-5);
    }

    [Fact]
    public void ShareReachedBy_AtAnExactAge_IsKnown()
    {
        var curve = TurnbullCurve.Of([EventInterval.At(5), EventInterval.At(7)]);

        curve.ShareReachedBy(4.9).ShouldBe(new ShareBounds(0, 0));
        curve.ShareReachedBy(5).ShouldBe(new ShareBounds(0.5, 0.5));
        curve.ShareReachedBy(7).ShouldBe(new ShareBounds(1, 1));
    }

    [Fact]
    public void Median_WhenHalfIsMetExactly_IsTheIntervalAfterWhichItIs() =>
        TurnbullCurve
            .Of([EventInterval.At(5), EventInterval.At(7), EventInterval.NotBy(7), EventInterval.At(3)])
            .Median!.Value.After.ShouldBe(5);

    [Fact]
    public void Median_WhenFewerThanHalfGetThere_IsNone()
    {
        TurnbullCurve.Of([EventInterval.At(5), EventInterval.NotBy(7), EventInterval.NotBy(7)]).Median.ShouldBeNull();
        TurnbullCurve.Of([EventInterval.NotBy(7)]).Median.ShouldBeNull();
    }

    [Theory]
    // (0,4], (3,8], not by 6: a child counts up to the age at which the answer is known, or to the last look.
    [InlineData(0, 3)]
    [InlineData(4, 3)]
    [InlineData(4.1, 2)]
    [InlineData(6, 2)]
    [InlineData(6.1, 1)]
    [InlineData(8, 1)]
    [InlineData(8.1, 0)]
    public void AtRisk_AtAnAge_CountsThoseWhoStillInform(double age, int expected) =>
        TurnbullCurve.Of([new(0, 4), new(3, 8), new(6, null)]).AtRisk(age).ShouldBe(expected);

    internal static string InWords(InnermostInterval interval) =>
        interval.IsExact ? FormattableString.Invariant($"[{interval.After}]")
        : interval.Through is { } through ? FormattableString.Invariant($"({interval.After},{through}]")
        : FormattableString.Invariant($"({interval.After},∞)");
}
