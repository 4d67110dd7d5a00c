using System.Text;
using Caseload.Domain;

namespace Caseload.Web.Platform.Access;

/// <summary>What a new password must be: long, and not one of those that are tried first.</summary>
/// <remarks>
/// Follows NIST SP 800-63B-4, section 3.1.1.2: a least length, no rules about kinds of characters, any Unicode and spaces, a list of refused
/// passwords. Nothing here keeps, logs or repeats what was typed; exact comparison is the hasher's work.
/// </remarks>
public static class PasswordRules
{
    /// <summary>The fewest characters, counted as Unicode code points of <see cref="FormToHash"/>.</summary>
    public const int FewestCharacters = 15;

    /// <summary>The most characters, counted the same way; a limit only so that nobody can make the hasher work for minutes.</summary>
    public const int MostCharacters = 256;

    /// <summary>The field that every refusal names.</summary>
    public const string Field = "password";

    private const string ProductName = "Caseload";

    // No code point of composed text was more than four UTF-16 units before, so anything longer is too long without a closer look.
    private const int MostUnits = 4 * MostCharacters;

    /// <summary>The form that is hashed and compared (NFC), so that the same letters typed on another keyboard are the same password.</summary>
    /// <returns>
    /// The composed text. Text that no password can be, because it is not valid Unicode or far too long, comes back as it is: it then
    /// equals nobody's password.
    /// </returns>
    public static string FormToHash(string typed)
    {
        ArgumentNullException.ThrowIfNull(typed);
        return typed.Length > MostUnits || HasBrokenText(typed) ? typed : typed.Normalize(NormalizationForm.FormC);
    }

    /// <summary>Says why a new password is refused; empty when it may be used.</summary>
    /// <param name="typed">What was typed, as it is.</param>
    /// <param name="about">
    /// What anybody could know: the person's name, sign-in name and e-mail address and the programme's name, whole or in parts. The product's
    /// name is always among them.
    /// </param>
    public static IReadOnlyList<Refusal> Check(string typed, IEnumerable<string?> about)
    {
        ArgumentNullException.ThrowIfNull(typed);
        ArgumentNullException.ThrowIfNull(about);
        if (typed.Length > MostUnits)
        {
            return [TooLong()];
        }
        if (HasBrokenText(typed))
        {
            return [Refuse("Type the password again; it holds a sign that was damaged on its way here.")];
        }
        var form = FormToHash(typed);
        return form.EnumerateRunes().Count() switch
        {
            < FewestCharacters => [Refuse($"Use at least {FewestCharacters} characters; a few unrelated words are easiest to remember.")],
            > MostCharacters => [TooLong()],
            _ => GuessedEarly(new PasswordPattern(form, [ProductName, .. about])),
        };
    }

    private static IReadOnlyList<Refusal> GuessedEarly(PasswordPattern pattern)
    {
        if (pattern.IsCommon)
        {
            return [Refuse("Choose another password; this one is on the list of common passwords that are tried first.")];
        }
        if (pattern.IsOnlyKnownWords)
        {
            return
            [
                Refuse(
                    "Choose words that have nothing to do with you or your work; a password made only of your name, your sign-in, "
                        + "your programme or this program is tried first."
                ),
            ];
        }
        return pattern.IsMadeLonger
            ?
            [
                Refuse(
                    "Add a few unrelated words; a common password, a row of keys or one piece repeated stays easy to guess however long it is."
                ),
            ]
            : [];
    }

    private static Refusal TooLong() => Refuse($"Use at most {MostCharacters} characters.");

    private static Refusal Refuse(string message) => new(Field, message);

    // Half a surrogate pair and U+FFFE, a byte order mark the wrong way round, are what .NET does not normalise.
    private static bool HasBrokenText(string text)
    {
        for (var i = 0; i < text.Length; )
        {
            if (!Rune.TryGetRuneAt(text, i, out var rune) || rune.Value == 0xFFFE)
            {
                return true;
            }
            i += rune.Utf16SequenceLength;
        }
        return false;
    }
}
