using System.Globalization;
using System.Resources;

namespace Caseload.Web.Platform.Families;

/// <summary>The words of the page for the family, in the languages there are.</summary>
public sealed class FamilyTexts
{
    private static readonly ResourceManager _texts = new("Caseload.Web.Platform.Families.FamilyTexts", typeof(FamilyTexts).Assembly);

    private readonly CultureInfo _culture;

    private FamilyTexts(string language) => (Language, _culture) = (language, CultureInfo.GetCultureInfo(language));

    /// <summary>The languages, as BCP 47 tags, with their own names.</summary>
    public static IReadOnlyList<(string Tag, string Name)> Languages { get; } = [("en", "English"), ("es", "Español")];

    /// <summary>The keys of all texts.</summary>
    public static IEnumerable<string> Keys =>
        _texts
            .GetResourceSet(CultureInfo.InvariantCulture, createIfNotExists: true, tryParents: false)!
            .Cast<System.Collections.DictionaryEntry>()
            .Select(entry => (string)entry.Key);

    /// <summary>The language.</summary>
    public string Language { get; }

    /// <summary>The texts of a language; of English when there are none in it.</summary>
    /// <param name="tag">A BCP 47 tag, whose first part counts; null for English.</param>
    public static FamilyTexts Of(string? tag)
    {
        var first = tag?.Split('-')[0];
        return new FamilyTexts(Languages.Any(language => language.Tag == first) ? first! : Languages[0].Tag);
    }

    /// <summary>A text by its key; null when there is none.</summary>
    public string? Find(string key) => _texts.GetString(key, _culture);

    /// <summary>A text by its key.</summary>
    /// <exception cref="InvalidOperationException">There is none: a bug.</exception>
    public string this[string key] => Find(key) ?? throw new InvalidOperationException($"There is no text {key}.");

    /// <summary>A text with values put into it.</summary>
    public string Format(string key, params object[] values) => string.Format(_culture, this[key], values);

    /// <summary>A day as the language writes it.</summary>
    public string Day(DateOnly on) => on.ToString(this["Date"], _culture);
}
