using System.Security.Cryptography;
using System.Text;

namespace Caseload.Web.Platform.Access;

/// <summary>Codes on paper for the day on which the authenticator is lost; each works once.</summary>
public static class RecoveryCodes
{
    /// <summary>How many codes a person gets at a time.</summary>
    public const int Count = 10;

    /// <summary>The form of a code: 16 characters, 80 random bits.</summary>
    public static PaperCode Form { get; } = new(Groups: 4, CharactersPerGroup: 4);

    /// <summary>Makes the codes, to be shown once; only their hashes are kept.</summary>
    public static IReadOnlyList<string> New()
    {
        // Two equal ones would be one code less; a set costs nothing.
        var codes = new HashSet<string>();
        while (codes.Count < Count)
        {
            codes.Add(Form.New());
        }
        return [.. codes];
    }

    /// <summary>What is stored of a code; null when what was typed cannot be one.</summary>
    /// <remarks>
    /// A plain SHA-256 without salt or many rounds. Those make up for passwords that people choose; here nobody can try 2^80 codes, and no
    /// table can hold them.
    /// </remarks>
    public static byte[]? HashOf(string typed) => Form.Normalise(typed) is { } code ? SHA256.HashData(Encoding.ASCII.GetBytes(code)) : null;

    /// <summary>Which of the stored hashes a typed code belongs to; null for none. The time taken does not tell which.</summary>
    public static int? IndexOf(string typed, IReadOnlyList<byte[]> hashes)
    {
        ArgumentNullException.ThrowIfNull(hashes);
        if (HashOf(typed) is not { } hash)
        {
            return null;
        }
        int? found = null;
        for (var i = 0; i < hashes.Count; i++)
        {
            if (CryptographicOperations.FixedTimeEquals(hash, hashes[i]))
            {
                found = i;
            }
        }
        return found;
    }
}
