using System.Globalization;
using System.Text;

namespace Caseload.Web.Platform.Access;

/// <summary>One way to read a password, as code points without case and accents.</summary>
internal sealed class PasswordSpelling
{
    // Three in a row: shorter pieces occur in any word.
    private const int FewestInRow = 3;

    private const int Unreached = int.MaxValue;

    private static readonly int[][] _rows =
    [
        .. new[]
        {
            "012345678901234567890",
            "qwertyuiop",
            "qwertzuiop",
            "azertyuiop",
            "asdfghjkl",
            "qsdfghjklm",
            "zxcvbnm",
            "yxcvbnm",
            "!@#$%^&*()",
        }
            .SelectMany(row => new[] { row, string.Concat(row.Reverse()) })
            .Select(PointsOf),
    ];

    private readonly int[] _letters;

    // Asked once for every common password found, so measured once.
    private readonly int[] _rowLengths;

    private PasswordSpelling(int[] points, int[] letters)
    {
        Points = points;
        _letters = letters;
        _rowLengths = [.. Enumerable.Range(0, points.Length).Select(RowAt)];
        // One character for each code point, so that places agree; nothing on the list lies outside the first plane.
        Text = string.Concat(letters.Select(point => point <= char.MaxValue ? (char)point : '\uFFFD'));
    }

    /// <summary>The code points as they were typed.</summary>
    internal int[] Points { get; }

    /// <summary>The same as text to look up, one character for each code point.</summary>
    internal string Text { get; }

    /// <summary>Signs and digits stand for themselves.</summary>
    internal static PasswordSpelling Plain(int[] points) => new(points, points);

    /// <summary>Signs and digits are read as the letters that they look like.</summary>
    internal static PasswordSpelling ReadAsLetters(int[] points) => new(points, [.. points.Select(AsLetter)]);

    /// <summary>Lower case, without accents, wide and fancy forms as plain ones; broken text gives the sign for it.</summary>
    internal static int[] Fold(string text)
    {
        // U+FFFE is the one code point that .NET does not normalise.
        var whole = string.Concat(text.EnumerateRunes().Where(rune => rune.Value != 0xFFFE));
        var apart = whole.Normalize(NormalizationForm.FormKD);
        var withoutAccents = string.Concat(
            apart.EnumerateRunes().Where(rune => Rune.GetUnicodeCategory(rune) != UnicodeCategory.NonSpacingMark)
        );
        return PointsOf(withoutAccents.Normalize(NormalizationForm.FormKC).ToLowerInvariant());
    }

    /// <summary>Whether a code point belongs to a word.</summary>
    internal static bool IsLetter(int point) =>
        Rune.IsLetter(new Rune(point)) || Rune.GetUnicodeCategory(new Rune(point)) == UnicodeCategory.SpacingCombiningMark;

    /// <summary>Whether a code point is what people put between words.</summary>
    internal static bool IsSeparator(int point) =>
        point is '.' or ',' or '_' or '+'
        || Rune.IsWhiteSpace(new Rune(point))
        || Rune.GetUnicodeCategory(new Rune(point)) == UnicodeCategory.DashPunctuation;

    /// <summary>Whether a piece occurs anywhere.</summary>
    internal bool Holds(int[] piece) => _letters.AsSpan().IndexOf(piece) >= 0;

    /// <summary>Every common password that occurs in it, and before them an empty piece for none.</summary>
    internal IEnumerable<int[]> CommonPieces()
    {
        var found = new HashSet<string> { "" };
        for (var from = 0; from < Text.Length; from++)
        {
            var most = Math.Min(CommonPasswords.MostCharacters, Text.Length - from);
            for (var length = CommonPasswords.FewestCharacters; length <= most; length++)
            {
                if (CommonPasswords.Contains(Text.AsSpan(from, length)))
                {
                    found.Add(Text.Substring(from, length));
                }
            }
        }
        return found.Select(PointsOf);
    }

    /// <summary>Takes away pieces, runs and rows of keys as well as possible and counts what is left.</summary>
    /// <returns>The fewest digits and signs that can be left; null when a letter is left in any case.</returns>
    internal int? SignsLeftBeside(int[][] pieces)
    {
        // Entry i: the fewest signs left among the first i code points.
        var left = new int[Points.Length + 1];
        Array.Fill(left, Unreached, 1, Points.Length);
        for (var from = 0; from < Points.Length; from++)
        {
            if (left[from] == Unreached)
            {
                continue;
            }
            if (!IsLetter(Points[from]))
            {
                left[from + 1] = Math.Min(left[from + 1], left[from] + 1);
            }
            for (var length = _rowLengths[from]; length >= FewestInRow; length--)
            {
                left[from + length] = Math.Min(left[from + length], left[from]);
            }
            foreach (var piece in pieces)
            {
                if (_letters.AsSpan(from).StartsWith(piece))
                {
                    left[from + piece.Length] = Math.Min(left[from + piece.Length], left[from]);
                }
            }
        }
        return left[^1] == Unreached ? null : left[^1];
    }

    private static int[] PointsOf(string text) => [.. text.EnumerateRunes().Select(rune => rune.Value)];

    private static int AsLetter(int point) =>
        point switch
        {
            '@' or '4' => 'a',
            '3' => 'e',
            '1' or '!' => 'i',
            '0' => 'o',
            '$' or '5' => 's',
            '7' => 't',
            _ => point,
        };

    private int RowAt(int from) =>
        Math.Max(Math.Max(SteppingAt(from, 0), Math.Max(SteppingAt(from, 1), SteppingAt(from, -1))), KeysAt(from));

    // A run of one character, or characters that follow each other in their alphabet.
    private int SteppingAt(int from, int step)
    {
        var length = 1;
        while (from + length < Points.Length && Points[from + length] == Points[from + length - 1] + step)
        {
            length++;
        }
        return length;
    }

    private int KeysAt(int from)
    {
        var length = 1;
        while (from + length < Points.Length && Array.Exists(_rows, row => IsIn(row, from, length + 1)))
        {
            length++;
        }
        return length;
    }

    private bool IsIn(int[] row, int from, int length) => row.AsSpan().IndexOf(Points.AsSpan(from, length)) >= 0;
}
