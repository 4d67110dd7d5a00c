namespace Caseload.Domain.Statistics;

/// <summary>How much each pair of categories counts as agreement: 1 for full, 0 for none.</summary>
public sealed class AgreementWeights
{
    private readonly double[] _weights;

    private AgreementWeights(AgreementScheme scheme, int categories, Func<int, int, double> weight)
    {
        Scheme = scheme;
        Categories = categories;
        _weights = new double[categories * categories];
        for (var first = 0; first < categories; first++)
        {
            for (var second = 0; second < categories; second++)
            {
                _weights[first * categories + second] = weight(first, second);
            }
        }
    }

    /// <summary>Where the weights come from; to be said wherever the coefficient is shown, because it depends on them.</summary>
    public AgreementScheme Scheme { get; }

    /// <summary>How many categories they are for.</summary>
    public int Categories { get; }

    /// <summary>The weight of a pair of categories, both from 0.</summary>
    public double this[int first, int second] => _weights[first * Categories + second];

    /// <summary>Only the same category agrees: the plain coefficient, for categories without an order.</summary>
    public static AgreementWeights Identity(int categories) =>
        new(AgreementScheme.Identity, Checked(categories), (first, second) => first == second ? 1 : 0);

    /// <summary>Agreement falls in proportion to the distance between categories in their order.</summary>
    public static AgreementWeights Linear(int categories) =>
        new(AgreementScheme.Linear, Checked(categories), (first, second) => 1 - Distance(first, second, categories));

    /// <summary>Agreement falls with the square of the distance between categories in their order.</summary>
    public static AgreementWeights Quadratic(int categories) =>
        new(AgreementScheme.Quadratic, Checked(categories), (first, second) => 1 - Math.Pow(Distance(first, second, categories), 2));

    /// <summary>Weights of agreement as they are given; they need not be symmetrical.</summary>
    /// <exception cref="ArgumentException">Not square, smaller than two by two, or a weight is not finite.</exception>
    public static AgreementWeights OfAgreement(IReadOnlyList<IReadOnlyList<double>> rows) =>
        new(AgreementScheme.Given, CheckedSize(rows), (first, second) => rows[first][second]);

    /// <summary>Weights of disagreement as they are given, 0 for none; the largest of them counts as no agreement.</summary>
    /// <exception cref="ArgumentException">Not square, smaller than two by two, a weight negative or not finite, or none positive.</exception>
    public static AgreementWeights OfDisagreement(IReadOnlyList<IReadOnlyList<double>> rows)
    {
        var categories = CheckedSize(rows);
        var largest = rows.Max(row => row.Max());
        if (largest <= 0 || rows.Any(row => row.Any(weight => weight < 0)))
        {
            throw new ArgumentException("Weights of disagreement are not negative, and one of them is more than 0.", nameof(rows));
        }
        return new AgreementWeights(AgreementScheme.Given, categories, (first, second) => 1 - rows[first][second] / largest);
    }

    private static double Distance(int first, int second, int categories) => (double)Math.Abs(first - second) / (categories - 1);

    private static int Checked(int categories)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(categories, 2);
        return categories;
    }

    private static int CheckedSize(IReadOnlyList<IReadOnlyList<double>> rows) =>
        rows.Count >= 2 && rows.All(row => row.Count == rows.Count && row.All(double.IsFinite))
            ? rows.Count
            : throw new ArgumentException("Weights are a square of two or more categories, and finite.", nameof(rows));
}

/// <summary>Where weights of agreement come from.</summary>
public enum AgreementScheme
{
    /// <summary>Only the same category agrees.</summary>
    Identity,

    /// <summary>By the distance between categories.</summary>
    Linear,

    /// <summary>By the square of the distance between categories.</summary>
    Quadratic,

    /// <summary>A table of weights was given.</summary>
    Given,
}
