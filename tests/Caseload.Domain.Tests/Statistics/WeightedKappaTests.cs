using Caseload.Domain.Statistics;
using CsCheck;

namespace Caseload.Domain.Tests.Statistics;

public sealed class WeightedKappaTests
{
    /// <summary>Cohen (1960, 1968): proportions of 200 pairs, here as counts; from man/kappa.Rd of the R package psych.</summary>
    private static readonly AgreementTable Cohen = AgreementTable.Of([
        [88, 14, 18],
        [10, 40, 10],
        [2, 6, 12],
    ]);

    /// <summary>Fleiss, Cohen and Everitt (1969), 200 pairs; from man/kappa.Rd of the R package psych.</summary>
    private static readonly AgreementTable Everitt = AgreementTable.Of([
        [106, 10, 4],
        [22, 28, 10],
        [2, 12, 6],
    ]);

    /// <summary>Three categories, 19 pairs, with full published output in test_inter_rater.py of the Python package statsmodels.</summary>
    private static readonly AgreementTable Nineteen = AgreementTable.Of([
        [0, 4, 1],
        [0, 8, 0],
        [0, 1, 5],
    ]);

    private static readonly Gen<AgreementTable> Tables = Gen.Int[2, 5]
        .SelectMany(size => Gen.Int[0, 9].Array[size].Array[size])
        .Select(rows => AgreementTable.Of(rows));

    [Fact]
    public void Of_TheTableOfCohen_IsAsPublished()
    {
        var result = WeightedKappa.Of(Cohen, AgreementWeights.Identity(3));

        result.Count.ShouldBe(200);
        result.RawAgreement!.Value.ShouldBe(0.70, 1e-12);
        result.Estimate!.ChanceAgreement.ShouldBe(0.41, 1e-12);
        // Published 0.492; exactly 29/59.
        result.Estimate.Kappa.ShouldBe(29.0 / 59, 1e-12);
        // Recomputed independently.
        result.Estimate.StandardError.ShouldBe(0.051002, 5e-7);
        result.Estimate.StandardErrorByChance.ShouldBe(0.051979, 5e-7);
    }

    [Fact]
    public void Of_TheTableOfCohenWithHisDisagreementWeights_IsAsPublished()
    {
        var weighted = WeightedKappa.Of(
            Cohen,
            AgreementWeights.OfDisagreement([
                [0, 1, 3],
                [1, 0, 6],
                [3, 6, 0],
            ])
        );
        var lopsided = WeightedKappa.Of(
            Cohen,
            AgreementWeights.OfDisagreement([
                [0, 1, 4],
                [1, 0, 6],
                [2, 2, 0],
            ])
        );

        // Published 0.348 and 0.353; the first exactly 8/23.
        weighted.Estimate!.Kappa.ShouldBe(8.0 / 23, 1e-12);
        lopsided.Estimate!.Kappa.ShouldBe(0.353, 5e-4);
        weighted.RawAgreement!.Value.ShouldBe(0.70, 1e-12);
        // Six is the largest disagreement: 0.90 and 1.38 of it, on the scale of agreement.
        weighted.Estimate.ObservedAgreement.ShouldBe(1 - 0.90 / 6, 1e-12);
        weighted.Estimate.ChanceAgreement.ShouldBe(1 - 1.38 / 6, 1e-12);
    }

    [Fact]
    public void Of_TheTableOfFleissCohenAndEveritt_HasTheRecomputedErrors()
    {
        // Data and weights as published; results recomputed independently by the paper's formulas.
        var plain = WeightedKappa.Of(Everitt, AgreementWeights.Identity(3)).Estimate!;
        var weighted = WeightedKappa
            .Of(
                Everitt,
                AgreementWeights.OfAgreement([
                    [1, 0, 0.4444],
                    [0, 1, 0.6667],
                    [0.4444, 0.6667, 1],
                ])
            )
            .Estimate!;

        plain.Kappa.ShouldBe(0.428571, 5e-7);
        plain.StandardError.ShouldBe(0.053711, 5e-7);
        plain.StandardErrorByChance.ShouldBe(0.055512, 5e-7);
        weighted.Kappa.ShouldBe(0.507070, 5e-7);
        weighted.StandardError.ShouldBe(0.056994, 5e-7);
        weighted.StandardErrorByChance.ShouldBe(0.065336, 5e-7);
        WeightedKappa.Of(Everitt, AgreementWeights.Linear(3)).Estimate!.Kappa.ShouldBe(0.492308, 5e-7);
        WeightedKappa.Of(Everitt, AgreementWeights.Quadratic(3)).Estimate!.Kappa.ShouldBe(0.566667, 5e-7);
    }

    [Theory]
    // As printed, four decimals: estimate, error, interval, error by chance, and the z that follows.
    [InlineData(AgreementScheme.Identity, 0.4842, 0.1380, 0.2137, 0.7547, 0.1484, 3.2626)]
    [InlineData(AgreementScheme.Linear, 0.4701, 0.1457, 0.1845, 0.7558, 0.1426, 3.2971)]
    public void Of_TheTableOfNineteen_IsThePrintedOutput(
        AgreementScheme scheme,
        double kappa,
        double error,
        double lower,
        double upper,
        double errorByChance,
        double z
    )
    {
        var weights = scheme == AgreementScheme.Identity ? AgreementWeights.Identity(3) : AgreementWeights.Linear(3);
        var result = WeightedKappa.Of(Nineteen, weights);

        result.Scheme.ShouldBe(scheme);
        var estimate = result.Estimate!;
        estimate.Kappa.ShouldBe(kappa, 5e-5);
        estimate.StandardError.ShouldBe(error, 5e-5);
        estimate.Interval!.Value.Lower.ShouldBe(lower, 5e-5);
        estimate.Interval.Value.Upper.ShouldBe(upper, 5e-5);
        estimate.StandardErrorByChance.ShouldBe(errorByChance, 5e-5);
        (estimate.Kappa / estimate.StandardErrorByChance).ShouldBe(z, 5e-5);
    }

    [Fact]
    public void Of_NoPairs_CannotBeComputed()
    {
        var result = WeightedKappa.Of(AgreementTable.Of(4, []), AgreementWeights.Linear(4));

        result.Count.ShouldBe(0);
        result.RawAgreement.ShouldBeNull();
        result.Estimate.ShouldBeNull();
    }

    [Fact]
    public void Of_OneCategoryUsedByBoth_CannotBeComputedThoughTheyAgree()
    {
        var result = WeightedKappa.Of(AgreementTable.Of(3, Enumerable.Repeat((1, 1), 30)), AgreementWeights.Quadratic(3));

        result.RawAgreement.ShouldBe(1);
        result.Estimate.ShouldBeNull();
    }

    [Fact]
    public void Of_OneCategoryUsedByOneRater_IsZero()
    {
        var result = WeightedKappa.Of(
            AgreementTable.Of([
                [9, 1],
                [0, 0],
            ]),
            AgreementWeights.Identity(2)
        );

        result.RawAgreement.ShouldBe(0.9);
        result.Estimate!.Kappa.ShouldBe(0, 1e-12);
    }

    [Fact]
    public void Of_FullAgreement_IsOneAndClaimsNoInterval()
    {
        var estimate = WeightedKappa
            .Of(
                AgreementTable.Of([
                    [5, 0, 0],
                    [0, 4, 0],
                    [0, 0, 3],
                ]),
                AgreementWeights.Linear(3)
            )
            .Estimate!;

        estimate.Kappa.ShouldBe(1, 1e-12);
        estimate.StandardError.ShouldBe(0);
        estimate.Interval.ShouldBeNull();
    }

    [Fact]
    public void Of_TwoCategories_IsTheSameByEveryScheme() =>
        Gen.Int[0, 30]
            .Array[4]
            .Sample(counts =>
            {
                var table = AgreementTable.Of([
                    [counts[0], counts[1]],
                    [counts[2], counts[3]],
                ]);
                var plain = WeightedKappa.Of(table, AgreementWeights.Identity(2));

                WeightedKappa.Of(table, AgreementWeights.Linear(2)).Estimate.ShouldBe(plain.Estimate);
                WeightedKappa.Of(table, AgreementWeights.Quadratic(2)).Estimate.ShouldBe(plain.Estimate);
            });

    [Fact]
    public void Of_RatersTheOtherWayRound_IsTheSame() =>
        Tables.Sample(table =>
        {
            var size = table.Categories;
            var turned = AgreementTable.Of([
                .. Enumerable.Range(0, size).Select(row => Enumerable.Range(0, size).Select(column => table[column, row]).ToList()),
            ]);
            var one = WeightedKappa.Of(table, AgreementWeights.Linear(size)).Estimate;
            var other = WeightedKappa.Of(turned, AgreementWeights.Linear(size)).Estimate;

            (other is null).ShouldBe(one is null);
            if (one is not null)
            {
                other!.Kappa.ShouldBe(one.Kappa, 1e-9);
                other.StandardError.ShouldBe(one.StandardError, 1e-6);
            }
        });

    [Fact]
    public void Of_AnyTable_IsAtMostOneAndItsIntervalHoldsIt() =>
        Tables.Sample(table =>
        {
            var estimate = WeightedKappa.Of(table, AgreementWeights.Quadratic(table.Categories)).Estimate;
            if (estimate is null)
            {
                return;
            }
            estimate.Kappa.ShouldBeLessThanOrEqualTo(1 + 1e-12);
            double.IsFinite(estimate.StandardError).ShouldBeTrue();
            if (estimate.Interval is { } interval)
            {
                estimate.Kappa.ShouldBeInRange(interval.Lower, interval.Upper);
                interval.Upper.ShouldBeLessThanOrEqualTo(1);
            }
        });

    [Fact]
    public void Of_PairsOfRatings_CountsThemAsTheTableDoes()
    {
        var table = AgreementTable.Of(3, [(0, 1), (0, 1), (2, 2)]);

        table.Count.ShouldBe(3);
        table[0, 1].ShouldBe(2);
        table[1, 0].ShouldBe(0);
        table[2, 2].ShouldBe(1);
    }

    [Fact]
    public void Of_WhatDoesNotFit_IsRefused()
    {
        Should.Throw<ArgumentException>(() => WeightedKappa.Of(Cohen, AgreementWeights.Linear(4)));
        Should.Throw<ArgumentOutOfRangeException>(() => WeightedKappa.Of(Cohen, AgreementWeights.Linear(3), 1));
        Should.Throw<ArgumentException>(() =>
            AgreementTable.Of([
                [1, 2],
                [3],
            ])
        );
        Should.Throw<ArgumentException>(() =>
            AgreementTable.Of([
                [1],
            ])
        );
        Should.Throw<ArgumentException>(() =>
            AgreementTable.Of([
                [1, 2],
                [3, -1],
            ])
        );
        Should.Throw<ArgumentOutOfRangeException>(() => AgreementTable.Of(2, [(0, 2)]));
        Should.Throw<ArgumentOutOfRangeException>(() => AgreementTable.Of(2, [(-1, 0)]));
        Should.Throw<ArgumentOutOfRangeException>(() => AgreementTable.Of(1, []));
        Should.Throw<ArgumentOutOfRangeException>(() => AgreementWeights.Quadratic(1));
        Should.Throw<ArgumentException>(() =>
            AgreementWeights.OfAgreement([
                [1, double.NaN],
                [0, 1],
            ])
        );
        Should.Throw<ArgumentException>(() =>
            AgreementWeights.OfDisagreement([
                [0, -1],
                [1, 0],
            ])
        );
        Should.Throw<ArgumentException>(() =>
            AgreementWeights.OfDisagreement([
                [0, 0],
                [0, 0],
            ])
        );
    }
}
