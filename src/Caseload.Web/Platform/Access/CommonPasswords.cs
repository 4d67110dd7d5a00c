using System.Collections.Frozen;

namespace Caseload.Web.Platform.Access;

/// <summary>Passwords that many people have used and that are therefore tried first; in lower case, of six and more characters.</summary>
/// <remarks>
/// A password of that length is no longer possible here by itself; the entries are what longer passwords must not be built on. Where they
/// come from, and their licence, stands in <c>common-passwords.LICENSE.txt</c>.
/// </remarks>
public static class CommonPasswords
{
    /// <summary>The length of the shortest entry.</summary>
    public const int FewestCharacters = 6;

    private const string Resource = "Caseload.Access.common-passwords.txt";

    private static readonly Lazy<FrozenSet<string>> _entries = new(Read);

    private static readonly Lazy<int> _mostCharacters = new(() => _entries.Value.Max(entry => entry.Length));

    /// <summary>How many entries there are.</summary>
    public static int Count => _entries.Value.Count;

    /// <summary>The length of the longest entry.</summary>
    public static int MostCharacters => _mostCharacters.Value;

    /// <summary>Whether a text, which must be in lower case already, is on the list.</summary>
    public static bool Contains(ReadOnlySpan<char> lowerCase) =>
        lowerCase.Length >= FewestCharacters && _entries.Value.GetAlternateLookup<ReadOnlySpan<char>>().Contains(lowerCase);

    private static FrozenSet<string> Read()
    {
        using var stream =
            typeof(CommonPasswords).Assembly.GetManifestResourceStream(Resource)
            ?? throw new InvalidOperationException($"The program was built without {Resource}.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries).ToFrozenSet(StringComparer.Ordinal);
    }
}
