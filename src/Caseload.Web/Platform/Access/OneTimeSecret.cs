using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace Caseload.Web.Platform.Access;

/// <summary>Secrets that let somebody in once, to set up the program or to take up an invitation: in a link, or on paper.</summary>
/// <remarks>Only the hash is stored. It needs neither salt nor many rounds, because nobody can try so many random secrets.</remarks>
public static class OneTimeSecret
{
    private const int BytesOfLink = 32;

    // 32 bytes in Base64url, without padding.
    private const int CharactersOfLink = 43;

    /// <summary>The form of the code on paper: 20 characters, 100 random bits.</summary>
    public static PaperCode Form { get; } = new(Groups: 4, CharactersPerGroup: 5);

    /// <summary>Makes the secret part of a link: 256 random bits in Base64url.</summary>
    public static string NewLink() => Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(BytesOfLink));

    /// <summary>Makes a code to be printed and typed.</summary>
    public static string NewCode() => Form.New();

    /// <summary>What is stored of a link's secret; null when it cannot be one. Links are followed, not typed, so every character counts.</summary>
    public static byte[]? HashOfLink(string secret)
    {
        ArgumentNullException.ThrowIfNull(secret);
        return secret.Length == CharactersOfLink && secret.All(IsOfBase64Url) ? Hash(secret) : null;
    }

    /// <summary>What is stored of a code; null when what was typed cannot be one. Case, spaces and dashes do not count.</summary>
    public static byte[]? HashOfCode(string typed) => Form.Normalise(typed) is { } code ? Hash(code) : null;

    /// <summary>Compares two hashes in a time that does not tell how much of them agrees.</summary>
    public static bool AreEqual(byte[] hash, byte[] other) => CryptographicOperations.FixedTimeEquals(hash, other);

    private static bool IsOfBase64Url(char sign) => char.IsAsciiLetterOrDigit(sign) || sign is '-' or '_';

    private static byte[] Hash(string text) => SHA256.HashData(Encoding.ASCII.GetBytes(text));
}
