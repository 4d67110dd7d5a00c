namespace Caseload.Web.Platform.Access;

/// <summary>What a password is built of, as somebody would try who knows the person and the common passwords.</summary>
/// <remarks>
/// Every question is put to several spellings: as typed, without what separates words, with signs read as the letters they stand for
/// (<c>p@ssw0rd</c>), and with doubled characters taken once. Accents and case never count.
/// </remarks>
internal sealed class PasswordPattern
{
    /// <summary>As many digits and signs may stand beside a common password without making it another one: a year, or "1!".</summary>
    internal const int MostLooseSigns = 4;

    /// <summary>Fewer different characters than this are a repetition, in whatever order they come.</summary>
    internal const int FewestDifferent = 5;

    /// <summary>Shorter parts of names are left alone; they occur in unrelated words.</summary>
    internal const int FewestLettersOfKnownWord = 4;

    private readonly PasswordSpelling[] _spellings;

    private readonly int[][] _knownWords;

    /// <summary>Looks at one password.</summary>
    /// <param name="password">Valid Unicode of bounded length.</param>
    /// <param name="about">Names and addresses that anybody could know; they are cut into words here.</param>
    internal PasswordPattern(string password, IEnumerable<string?> about)
    {
        var typed = PasswordSpelling.Fold(password);
        int[] joined = [.. typed.Where(point => !PasswordSpelling.IsSeparator(point))];
        _spellings =
        [
            PasswordSpelling.Plain(typed),
            PasswordSpelling.Plain(joined),
            PasswordSpelling.ReadAsLetters(joined),
            PasswordSpelling.Plain([.. joined.Where((point, i) => i == 0 || joined[i - 1] != point)]),
        ];
        _knownWords = [.. about.OfType<string>().SelectMany(WordsOf)];
    }

    /// <summary>Whether the whole is on the list of common passwords; with doubled characters it is another one, made longer.</summary>
    internal bool IsCommon => Array.Exists(_spellings[..^1], spelling => CommonPasswords.Contains(spelling.Text));

    /// <summary>Whether there is a word known about the person, the programme or the product, and no other letter.</summary>
    internal bool IsOnlyKnownWords =>
        Array.Exists(
            _spellings,
            spelling => Array.Exists(_knownWords, spelling.Holds) && spelling.SignsLeftBeside(_knownWords) is not null
        );

    /// <summary>Whether it is one piece over and over, or one common password or row of keys with next to nothing added.</summary>
    internal bool IsMadeLonger =>
        _spellings[0].Points.Distinct().Count() < FewestDifferent
        || Array.Exists(_spellings, spelling => IsPeriodic(spelling.Points))
        || Array.Exists(
            _spellings,
            spelling => spelling.CommonPieces().Any(common => spelling.SignsLeftBeside([.. _knownWords, common]) <= MostLooseSigns)
        );

    private static IEnumerable<int[]> WordsOf(string about)
    {
        var points = PasswordSpelling.Fold(about);
        for (var from = 0; from < points.Length; from++)
        {
            var through = from;
            while (through < points.Length && PasswordSpelling.IsLetter(points[through]))
            {
                through++;
            }
            if (through - from >= FewestLettersOfKnownWord)
            {
                yield return points[from..through];
            }
            from = through;
        }
    }

    private static bool IsPeriodic(int[] points) =>
        Enumerable.Range(1, points.Length / 2).Any(period => points.AsSpan(period).SequenceEqual(points.AsSpan(0, points.Length - period)));
}
