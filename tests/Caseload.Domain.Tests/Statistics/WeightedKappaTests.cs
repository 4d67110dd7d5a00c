using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>Kappa against tables with published results.</summary>
public sealed class WeightedKappaTests
{
    // Fleiss, Cohen and Everitt, Psychological Bulletin 72 (1969) 323; data and weights as in the psych package's manual for kappa.
    private static readonly int[,] _everitt =
    {
        { 106, 10, 4 },
        { 22, 28, 10 },
        { 2, 12, 6 },
    };

    // The table of the statsmodels package's test of inter-rater agreement, with full output of another program.
    private static readonly int[,] _threeByThree =
    {
        { 0, 4, 1 },
        { 0, 8, 0 },
        { 0, 1, 5 },
    };

    [Fact]
    public void Kappa_OfCohensTable_IsThePublishedOne()
    {
        // Cohen 1960/1968, proportions of 200: .492 as published in the psych package's manual, 29/59 by hand.
        var kappa = WeightedKappa.Of(
            new[,]
            {
                { 88, 14, 18 },
                { 10, 40, 10 },
                { 2, 6, 12 },
            },
            KappaWeights.None
        )!;

        kappa.Kappa.ShouldBe(29.0 / 59, 1e-12);
        kappa.Kappa.ShouldBe(0.492, 0.0005);
        (kappa.Count, kappa.Agreement).ShouldBe((200, 0.70));
    }

    [Fact]
    public void WeightedKappa_OfCohensTable_IsThePublishedOne()
    {
        // Disagreement weights 0 1 3 / 1 0 6 / 3 6 0; published .348, 8/23 by hand.
        double[,] weights =
        {
            { 0, 1, 3 },
            { 1, 0, 6 },
            { 3, 6, 0 },
        };
        var kappa = WeightedKappa.Of(
            new[,]
            {
                { 88, 14, 18 },
                { 10, 40, 10 },
                { 2, 6, 12 },
            },
            (row, column) => 1 - (weights[row, column] / 6)
        )!;

        kappa.Kappa.ShouldBe(8.0 / 23, 1e-12);
    }

    [Fact]
    public void WeightedKappa_OfTheTableOf1969_HasThePublishedWeightsErrorsAndValues()
    {
        double[,] agreement =
        {
            { 1, 0, 0.4444 },
            { 0, 1, 0.6667 },
            { 0.4444, 0.6667, 1 },
        };

        var plain = WeightedKappa.Of(_everitt, KappaWeights.None)!;
        var weighted = WeightedKappa.Of(_everitt, (row, column) => agreement[row, column])!;

        plain.Kappa.ShouldBe(0.428571, 1e-6);
        plain.StandardError.ShouldBe(0.053711, 1e-6);
        weighted.Kappa.ShouldBe(0.507070, 1e-5);
        weighted.StandardError.ShouldBe(0.056994, 1e-5);
        WeightedKappa.Of(_everitt, KappaWeights.Linear)!.Kappa.ShouldBe(0.492308, 1e-6);
        WeightedKappa.Of(_everitt, KappaWeights.Quadratic)!.Kappa.ShouldBe(0.566667, 1e-6);
    }

    [Fact]
    public void Kappa_OfTheThreeByThreeTable_HasThePublishedStandardErrors()
    {
        var plain = WeightedKappa.Of(_threeByThree, KappaWeights.None)!;
        var linear = WeightedKappa.Of(_threeByThree, KappaWeights.Linear)!;

        plain.Kappa.ShouldBe(0.4842, 0.00005);
        plain.StandardError.ShouldBe(0.1380, 0.00005);
        linear.Kappa.ShouldBe(0.4701, 0.00005);
        linear.StandardError.ShouldBe(0.1457, 0.00005);
    }

    [Fact]
    public void Kappa_WithOneWordOnly_CannotBeComputed()
    {
        WeightedKappa
            .Of(
                new[,]
                {
                    { 12, 0 },
                    { 0, 0 },
                },
                KappaWeights.Linear
            )
            .ShouldBeNull();
        WeightedKappa
            .Of(
                new[,]
                {
                    { 0, 0 },
                    { 0, 0 },
                },
                KappaWeights.None
            )
            .ShouldBeNull();
        Should.Throw<ArgumentException>(() => WeightedKappa.Of(new int[2, 3], KappaWeights.None));
    }
}
