namespace Caseload.Domain.Statistics;

/// <summary>The score interval of a proportion: how far the share behind a count may lie from the share that was counted.</summary>
/// <remarks>
/// Wilson, Journal of the American Statistical Association 22 (1927) 209, without continuity correction; recommended for its coverage
/// by Newcombe, Statistics in Medicine 17 (1998) 857, whose table I the tests hold. Unlike the textbook interval it has a width when
/// nothing or everything was counted, and it never leaves 0 to 1.
/// </remarks>
public static class WilsonInterval
{
    /// <summary>The interval for a count out of a total.</summary>
    /// <param name="count">How many of them, from 0 to <paramref name="total"/>.</param>
    /// <param name="total">Of how many; 0 or more.</param>
    /// <param name="confidence">More than 0 and at most 0.9999; 0.95 unless given.</param>
    /// <returns>Both ends as shares from 0 to 1; null when the total is 0, because nothing then says anything about the share.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A number lies outside its range.</exception>
    public static ConfidenceBounds? Of(int count, int total, double confidence = 0.95)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(total);
        ArgumentOutOfRangeException.ThrowIfNegative(count);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, total);
        var z = NormalQuantile.TwoSided(confidence);
        if (total == 0)
        {
            return null;
        }
        double n = total;
        var share = count / n;
        var shrunk = 1 + z * z / n;
        var middle = (share + z * z / (2 * n)) / shrunk;
        var reach = z * Math.Sqrt(share * (1 - share) / n + z * z / (4 * n * n)) / shrunk;
        // At the ends the formula gives 0 and 1 but for rounding.
        return new ConfidenceBounds(
            count == 0 ? 0 : Math.Clamp(middle - reach, 0, share),
            count == total ? 1 : Math.Clamp(middle + reach, share, 1)
        );
    }
}
