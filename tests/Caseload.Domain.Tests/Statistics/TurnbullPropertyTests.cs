using Caseload.Domain.Statistics;
using CsCheck;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>What holds for any observations.</summary>
public sealed class TurnbullPropertyTests
{
    /// <summary>Few different ages, so that ends meet often; exact, interval-censored and right-censored in any mixture.</summary>
    internal static readonly Gen<List<EventInterval>> Crowded = Gen.Int[2, 30].SelectMany(most => ObservationsOf(most).List[1, 60]);

    /// <summary>Days of a life of three years, as in a caseload.</summary>
    internal static readonly Gen<List<EventInterval>> Spread = ObservationsOf(1_100).List[1, 120];

    [Fact]
    public void Of_CrowdedObservations_MeetsTheConditionsOfTheLargestLikelihood() => Crowded.Sample(ShouldBeBest, iter: 3_000);

    [Fact]
    public void Of_SpreadObservations_MeetsTheConditionsOfTheLargestLikelihood() => Spread.Sample(ShouldBeBest, iter: 500);

    [Fact]
    public void Of_AnyObservations_IsBetterThanOtherMasses() =>
        Gen.Select(Crowded, Gen.Double[0.01, 1].Array[60])
            .Sample(
                (observations, shares) =>
                {
                    var curve = TurnbullCurve.Of(observations);
                    var others = curve.Candidates.Select((candidate, index) => shares[index] + 10 * candidate.Mass).ToList();
                    var sum = others.Sum();

                    KuhnTucker
                        .LogLikelihoodOf(curve, observations, others.ConvertAll(mass => mass / sum))
                        .ShouldBeLessThanOrEqualTo(curve.LogLikelihood + 1e-9);
                },
                iter: 500
            );

    [Fact]
    public void Curve_OfAnyObservations_ComesDownFromOneToZero() =>
        Crowded.Sample(
            observations =>
            {
                var curve = TurnbullCurve.Of(observations);
                var heights = curve.Intervals.Select(interval => interval.RemainingAfter).ToList();

                heights.ShouldBeInOrder(SortDirection.Descending);
                heights[^1].ShouldBe(0);
                curve.Intervals.Sum(interval => interval.Mass).ShouldBe(1, 1e-12);
                curve.Intervals.ShouldAllBe(interval => interval.Mass > 0);
                var before = new ShareBounds(0, 0);
                for (var age = -1.0; age <= 31; age += 0.5)
                {
                    var share = curve.ShareReachedBy(age);
                    share.Least.ShouldBeInRange(before.Least, share.Most);
                    share.Most.ShouldBeInRange(before.Most, 1);
                    before = share;
                }
                if (curve.Median is { } median)
                {
                    curve.ShareReachedBy(median.Through!.Value).Least.ShouldBeGreaterThanOrEqualTo(0.5 - 1e-8);
                    (median.IsExact || curve.ShareReachedBy(median.After).Least < 0.5).ShouldBeTrue();
                }
            },
            iter: 500
        );

    [Fact]
    public void Of_ExactAndRightCensoredAges_IsTheProductOfKaplanAndMeier() =>
        (from age in Gen.Int[0, 25] from isReached in Gen.Bool select isReached ? EventInterval.At(age) : EventInterval.NotBy(age))
            .List[1, 80]
            .Sample(
                observations =>
                {
                    var curve = TurnbullCurve.Of(observations);
                    var remaining = 1.0;
                    for (var age = 0; age <= 25; age++)
                    {
                        var atRisk = observations.Count(one => one.After >= age);
                        var reached = observations.Count(one => one.IsExact && one.After == age);
                        remaining *= atRisk == 0 ? 1 : 1 - (double)reached / atRisk;

                        curve.AtRisk(age).ShouldBe(atRisk);
                        (1 - curve.ShareReachedBy(age).Least).ShouldBe(remaining, 1e-8);
                    }
                },
                iter: 500
            );

    private static Gen<EventInterval> ObservationsOf(int most) =>
        from after in Gen.Int[0, most]
        from length in Gen.Int[1, 1 + most / 3]
        from kind in Gen.Int[0, 9]
        select kind switch
        {
            0 => EventInterval.At(after),
            < 3 => EventInterval.NotBy(after),
            3 => new EventInterval(0, after + length),
            _ => new EventInterval(after, after + length),
        };

    private static void ShouldBeBest(List<EventInterval> observations)
    {
        var curve = TurnbullCurve.Of(observations);

        curve.IsOptimal.ShouldBeTrue();
        KuhnTucker.ShouldHold(curve, observations);
        curve.Steps.ShouldBeLessThan(200);
    }
}
