namespace Caseload.Domain.Statistics;

/// <summary>How often two raters put the same thing into which categories: the first rater's in rows, the second's in columns.</summary>
/// <remarks>For weighted agreement the categories stand in their order, such as the grades of a response.</remarks>
public sealed class AgreementTable
{
    private readonly int[] _counts;

    private AgreementTable(int categories, int[] counts)
    {
        Categories = categories;
        _counts = counts;
        Count = counts.Sum();
    }

    /// <summary>How many categories there are, two or more, used or not.</summary>
    public int Categories { get; }

    /// <summary>How many pairs of ratings there are.</summary>
    public int Count { get; }

    /// <summary>How often the first rater chose one category and the second rater another, or the same; both from 0.</summary>
    public int this[int first, int second] => _counts[first * Categories + second];

    /// <summary>Counts pairs of ratings.</summary>
    /// <param name="categories">How many categories there are; two or more.</param>
    /// <param name="ratings">For each thing rated twice, the categories of both raters, from 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than two categories, or a rating that is none of them.</exception>
    public static AgreementTable Of(int categories, IEnumerable<(int First, int Second)> ratings)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(categories, 2);
        var counts = new int[categories * categories];
        foreach (var (first, second) in ratings)
        {
            CheckCategory(first, categories);
            CheckCategory(second, categories);
            counts[first * categories + second]++;
        }
        return new AgreementTable(categories, counts);
    }

    /// <summary>Takes a table that was counted before.</summary>
    /// <param name="rows">As many rows as columns, two or more; no number negative.</param>
    /// <exception cref="ArgumentException">The table is not square, too small, or holds a negative number.</exception>
    public static AgreementTable Of(IReadOnlyList<IReadOnlyList<int>> rows)
    {
        if (rows.Count < 2 || rows.Any(row => row.Count != rows.Count || row.Any(count => count < 0)))
        {
            throw new ArgumentException("A table of agreement is square, with two or more categories and no negative count.", nameof(rows));
        }
        return new AgreementTable(rows.Count, [.. rows.SelectMany(row => row)]);
    }

    private static void CheckCategory(int category, int categories)
    {
        if (category < 0 || category >= categories)
        {
            throw new ArgumentOutOfRangeException(nameof(category), category, "A rating is none of the categories.");
        }
    }
}
