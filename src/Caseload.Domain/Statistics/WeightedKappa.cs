namespace Caseload.Domain.Statistics;

/// <summary>How disagreements of two raters on ordered words count.</summary>
public enum KappaWeights
{
    /// <summary>Every disagreement alike (Cohen 1960).</summary>
    None,

    /// <summary>By how many steps the words are apart.</summary>
    Linear,

    /// <summary>By the square of the steps.</summary>
    Quadratic,
}

/// <summary>How well two raters agree on the same children beyond chance.</summary>
/// <param name="Count">How many were rated by both.</param>
/// <param name="Agreement">Share of identical ratings, 0 to 1: kappa alone misleads where one word is common.</param>
/// <param name="Kappa">Kappa, 1 for perfect agreement, 0 for chance.</param>
/// <param name="StandardError">Its standard error for large numbers (Fleiss, Cohen and Everitt 1969).</param>
public sealed record WeightedKappa(int Count, double Agreement, double Kappa, double StandardError)
{
    /// <summary>Kappa of a square table: rows the first rater's words, columns the second's, in the same order.</summary>
    /// <param name="table">How many children got each pair of words.</param>
    /// <param name="weights">How disagreements count.</param>
    /// <returns>Kappa; null when it cannot be computed: nobody was rated, or chance alone would agree always.</returns>
    /// <exception cref="ArgumentException">The table is not square.</exception>
    public static WeightedKappa? Of(int[,] table, KappaWeights weights)
    {
        var size = table.GetLength(0);
        return Of(table, (row, column) => AgreementOf(row, column, size, weights));
    }

    /// <summary>Kappa with agreement weights of one's own: 1 on the diagonal, less the worse the disagreement.</summary>
    /// <exception cref="ArgumentException">The table is not square.</exception>
    public static WeightedKappa? Of(int[,] table, Func<int, int, double> agreementOf)
    {
        var size = table.GetLength(0);
        if (table.GetLength(1) != size)
        {
            throw new ArgumentException("Both raters use the same words, so the table is square.", nameof(table));
        }
        var count = table.Cast<int>().Sum();
        if (count == 0)
        {
            return null;
        }
        var rows = Enumerable
            .Range(0, size)
            .Select(row => Enumerable.Range(0, size).Sum(column => (double)table[row, column] / count))
            .ToArray();
        var columns = Enumerable
            .Range(0, size)
            .Select(column => Enumerable.Range(0, size).Sum(row => (double)table[row, column] / count))
            .ToArray();
        double identical = 0;
        double observed = 0;
        double chance = 0;
        ForEachCell(
            (row, column) =>
            {
                identical += row == column ? (double)table[row, column] / count : 0;
                observed += agreementOf(row, column) * table[row, column] / count;
                chance += agreementOf(row, column) * rows[row] * columns[column];
            }
        );
        if (1 - chance < 1e-12)
        {
            return null;
        }
        var kappa = (observed - chance) / (1 - chance);
        var rowMeans = Enumerable
            .Range(0, size)
            .Select(row => Enumerable.Range(0, size).Sum(column => agreementOf(row, column) * columns[column]))
            .ToArray();
        var columnMeans = Enumerable
            .Range(0, size)
            .Select(column => Enumerable.Range(0, size).Sum(row => agreementOf(row, column) * rows[row]))
            .ToArray();
        double sum = 0;
        ForEachCell(
            (row, column) =>
            {
                var part = agreementOf(row, column) - ((rowMeans[row] + columnMeans[column]) * (1 - kappa));
                sum += part * part * table[row, column] / count;
            }
        );
        var rest = kappa - (chance * (1 - kappa));
        var variance = (sum - (rest * rest)) / (count * (1 - chance) * (1 - chance));
        return new WeightedKappa(count, identical, kappa, Math.Sqrt(Math.Max(0, variance)));

        void ForEachCell(Action<int, int> visit)
        {
            for (var row = 0; row < size; row++)
            {
                for (var column = 0; column < size; column++)
                {
                    visit(row, column);
                }
            }
        }
    }

    private static double AgreementOf(int row, int column, int size, KappaWeights weights)
    {
        var steps = Math.Abs(row - column) / (double)Math.Max(1, size - 1);
        return weights switch
        {
            KappaWeights.None => row == column ? 1 : 0,
            KappaWeights.Linear => 1 - steps,
            KappaWeights.Quadratic => 1 - (steps * steps),
            _ => throw new ArgumentOutOfRangeException(nameof(weights)),
        };
    }
}
