namespace Caseload.Domain.Statistics;

/// <summary>How far two raters agree beyond what chance would give them.</summary>
/// <remarks>
/// <para>
/// Cohen, Educational and Psychological Measurement 20 (1960) 37; with weights, Psychological Bulletin 70 (1968) 213. Errors after Fleiss,
/// Cohen and Everitt, Psychological Bulletin 72 (1969) 323: asymptotic, so that they say little of a few pairs.
/// </para>
/// <para>
/// Show <see cref="RawAgreement"/> and the weights' scheme beside it: where nearly all ratings fall into one category the coefficient
/// is low however often the raters agree.
/// </para>
/// </remarks>
/// <param name="Count">How many pairs of ratings there are.</param>
/// <param name="RawAgreement">The share of pairs in the same category, without weights; null when there are no pairs.</param>
/// <param name="Scheme">Where the weights come from.</param>
/// <param name="Estimate">The coefficient; null when it cannot be computed.</param>
public sealed record WeightedKappa(int Count, double? RawAgreement, AgreementScheme Scheme, KappaEstimate? Estimate)
{
    // Sums of shares of whole numbers reach one but for rounding.
    private const double Rounding = 1e-12;

    /// <summary>Works the coefficient out.</summary>
    /// <param name="table">The pairs of ratings.</param>
    /// <param name="weights">The weights, for as many categories.</param>
    /// <param name="confidence">Of the interval; more than 0 and at most 0.9999.</param>
    /// <returns>
    /// Without an estimate when there are no pairs, and when chance alone would agree entirely, as it does when both raters used one and
    /// the same category only: that is neither full agreement nor none.
    /// </returns>
    /// <exception cref="ArgumentException">The weights are for another number of categories.</exception>
    /// <exception cref="ArgumentOutOfRangeException">The confidence lies outside its range.</exception>
    public static WeightedKappa Of(AgreementTable table, AgreementWeights weights, double confidence = 0.95)
    {
        if (weights.Categories != table.Categories)
        {
            throw new ArgumentException("The weights are for another number of categories.", nameof(weights));
        }
        var z = NormalQuantile.TwoSided(confidence);
        if (table.Count == 0)
        {
            return new WeightedKappa(0, null, weights.Scheme, null);
        }
        var same = 0;
        for (var category = 0; category < table.Categories; category++)
        {
            same += table[category, category];
        }
        return new WeightedKappa(table.Count, (double)same / table.Count, weights.Scheme, Estimated(table, weights, z));
    }

    private static KappaEstimate? Estimated(AgreementTable table, AgreementWeights weights, double z)
    {
        var size = table.Categories;
        double count = table.Count;
        var firsts = new double[size];
        var seconds = new double[size];
        ForEachPair(size, (first, second) => firsts[first] += table[first, second] / count);
        ForEachPair(size, (first, second) => seconds[second] += table[first, second] / count);
        var observed = 0.0;
        var chance = 0.0;
        // What a rating of one rater agrees on average with the other's ratings.
        var meanOfFirst = new double[size];
        var meanOfSecond = new double[size];
        ForEachPair(
            size,
            (first, second) =>
            {
                observed += weights[first, second] * table[first, second] / count;
                chance += weights[first, second] * firsts[first] * seconds[second];
                meanOfFirst[first] += weights[first, second] * seconds[second];
                meanOfSecond[second] += weights[first, second] * firsts[first];
            }
        );
        if (1 - chance <= Rounding)
        {
            return null;
        }
        var kappa = (observed - chance) / (1 - chance);
        var spread = 0.0;
        var spreadByChance = 0.0;
        ForEachPair(
            size,
            (first, second) =>
            {
                var mean = meanOfFirst[first] + meanOfSecond[second];
                spread += table[first, second] / count * Math.Pow(weights[first, second] - mean * (1 - kappa), 2);
                spreadByChance += firsts[first] * seconds[second] * Math.Pow(weights[first, second] - mean, 2);
            }
        );
        var error = ErrorOf(spread - Math.Pow(kappa - chance * (1 - kappa), 2));
        var errorByChance = ErrorOf(spreadByChance - chance * chance);
        return new KappaEstimate(kappa, observed, chance, error, errorByChance)
        {
            Interval = error == 0 ? null : new ConfidenceBounds(kappa - z * error, Math.Min(1, kappa + z * error)),
        };

        double ErrorOf(double variance) => variance <= Rounding ? 0 : Math.Sqrt(variance / count) / (1 - chance);
    }

    private static void ForEachPair(int size, Action<int, int> use)
    {
        for (var first = 0; first < size; first++)
        {
            for (var second = 0; second < size; second++)
            {
                use(first, second);
            }
        }
    }
}

/// <summary>A coefficient of agreement and how sure it is.</summary>
/// <param name="Kappa">1 for full agreement, 0 for as much as chance gives, negative for less.</param>
/// <param name="ObservedAgreement">The weighted agreement, 1 for full.</param>
/// <param name="ChanceAgreement">The weighted agreement that chance would give raters who use the categories as often as these.</param>
/// <param name="StandardError">The asymptotic standard error; 0 when the table allows no other, as with full agreement.</param>
/// <param name="StandardErrorByChance">The asymptotic standard error if there were no agreement beyond chance.</param>
public sealed record KappaEstimate(
    double Kappa,
    double ObservedAgreement,
    double ChanceAgreement,
    double StandardError,
    double StandardErrorByChance
)
{
    /// <summary>The interval, cut off at 1; null when the standard error is 0, because a width of nothing would claim to be certain.</summary>
    public ConfidenceBounds? Interval { get; init; }
}
