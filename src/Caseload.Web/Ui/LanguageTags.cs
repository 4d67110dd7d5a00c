using System.Globalization;
using System.Text.RegularExpressions;
using Caseload.Domain;

namespace Caseload.Web.Ui;

/// <summary>Languages as BCP 47 tags, read from what a person types and shown by their names.</summary>
public static partial class LanguageTags
{
    private const int Most = 12;

    private static readonly Lazy<Dictionary<string, string>> _tagsByName = new(() =>
        CultureInfo
            .GetCultures(CultureTypes.NeutralCultures)
            .Where(culture => culture.Name.Length > 0)
            .OrderBy(culture => culture.Name.Length)
            .DistinctBy(culture => culture.EnglishName, StringComparer.OrdinalIgnoreCase)
            .ToDictionary(culture => culture.EnglishName, culture => culture.Name, StringComparer.OrdinalIgnoreCase)
    );

    /// <summary>The tags in a list that is separated by commas; tags and English names may be mixed.</summary>
    /// <param name="typed">What was typed, for example <c>es, Polish</c>.</param>
    /// <param name="field">The field that a refusal names.</param>
    public static Checked<IReadOnlyList<string>> Read(string typed, string field)
    {
        var tags = new List<string>();
        foreach (var part in typed.Split([',', ';'], StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            if (Find(part) is not { } tag)
            {
                return Checked.Refuse<IReadOnlyList<string>>(
                    field,
                    "One of these is no language we know. Use English names or BCP 47 tags, for example: Spanish, pl, zh-Hans."
                );
            }
            if (!tags.Contains(tag))
            {
                tags.Add(tag);
            }
        }
        return tags.Count <= Most
            ? Checked.Accept<IReadOnlyList<string>>(tags)
            : Checked.Refuse<IReadOnlyList<string>>(field, $"Up to {Most} languages can be listed. Leave out the weakest.");
    }

    /// <summary>"Spanish (es)".</summary>
    public static string NameOf(string tag) => $"{CultureInfo.GetCultureInfo(tag).EnglishName} ({tag})";

    /// <summary>English names to choose from while typing.</summary>
    public static IReadOnlyCollection<string> Names => _tagsByName.Value.Keys;

    // The framework makes a culture of any tag that has the right form; only a known language has a name of its own.
    private static string? Find(string typed)
    {
        if (_tagsByName.Value.TryGetValue(typed, out var named))
        {
            return named;
        }
        if (!TagPattern().IsMatch(typed))
        {
            return null;
        }
        var culture = CultureInfo.GetCultureInfo(typed);
        var language = typed.Split('-')[0];
        return CultureInfo.GetCultureInfo(language).EnglishName.Equals(language, StringComparison.OrdinalIgnoreCase) ? null : culture.Name;
    }

    [GeneratedRegex("^[A-Za-z]{2,3}(-[A-Za-z]{4})?(-([A-Za-z]{2}|[0-9]{3}))?$", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex TagPattern();
}
