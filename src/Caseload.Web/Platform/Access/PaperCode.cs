using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Caseload.Web.Platform.Access;

/// <summary>A random code that a person reads from paper and types, in groups, from an alphabet without look-alikes.</summary>
/// <remarks>
/// The alphabet is Crockford's Base32: digits and capital letters without I, L, O and U. What looks the same is read as the same: O as 0,
/// I and L as 1.
/// </remarks>
/// <param name="Groups">How many groups there are.</param>
/// <param name="CharactersPerGroup">How many characters each group has.</param>
public sealed record PaperCode(int Groups, int CharactersPerGroup)
{
    /// <summary>The characters that codes are made of; 32 of them, so that each carries five bits.</summary>
    public const string Alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    private const char Separator = '-';

    /// <summary>How many characters a code has without what separates its groups.</summary>
    public int Characters => Groups * CharactersPerGroup;

    /// <summary>Makes a code, grouped for reading.</summary>
    public string New() =>
        string.Join(
            Separator,
            RandomNumberGenerator.GetString(Alphabet, Characters).Chunk(CharactersPerGroup).Select(group => new string(group))
        );

    /// <summary>What a person typed as the code was made: case, spaces and dashes do not count; null when it cannot be such a code.</summary>
    public string? Normalise(string typed)
    {
        ArgumentNullException.ThrowIfNull(typed);
        var code = new StringBuilder(Characters);
        foreach (var sign in typed)
        {
            if (IsLeftOut(sign))
            {
                continue;
            }
            var read = char.ToUpperInvariant(sign) switch
            {
                'O' => '0',
                'I' or 'L' => '1',
                var other => other,
            };
            if (!Alphabet.Contains(read, StringComparison.Ordinal) || code.Length == Characters)
            {
                return null;
            }
            code.Append(read);
        }
        return code.Length == Characters ? code.ToString() : null;
    }

    // Text programs make long dashes and unseen joints of what was printed with short ones.
    private static bool IsLeftOut(char sign) =>
        char.IsWhiteSpace(sign)
        || sign == '\u2212'
        || char.GetUnicodeCategory(sign) is UnicodeCategory.DashPunctuation or UnicodeCategory.Format;
}
