using System.Text;

namespace Caseload.Domain;

/// <summary>The one spelling of every enumerated term in files and on the command line: lower case, hyphens between words.</summary>
public static class EnumWords
{
    /// <summary>The term's spelling, for example <c>quiet-alert</c>.</summary>
    public static string ToWord<T>(this T value)
        where T : struct, Enum => Table<T>.Words[value];

    /// <summary>Reads a term; the case does not matter, and anything unknown is null.</summary>
    public static T? FromWord<T>(string? word)
        where T : struct, Enum => word is not null && Table<T>.Values.TryGetValue(word.Trim(), out var value) ? value : null;

    /// <summary>Every spelling, in the order of the enumeration, for messages.</summary>
    public static string ListOf<T>()
        where T : struct, Enum => string.Join(", ", Enum.GetValues<T>().Select(value => value.ToWord()));

    private static class Table<T>
        where T : struct, Enum
    {
        internal static readonly IReadOnlyDictionary<T, string> Words = Enum.GetValues<T>()
            .ToDictionary(value => value, value => Hyphenate(value.ToString()));

        internal static readonly IReadOnlyDictionary<string, T> Values = Words.ToDictionary(
            pair => pair.Value,
            pair => pair.Key,
            StringComparer.OrdinalIgnoreCase
        );

        private static string Hyphenate(string name)
        {
            var builder = new StringBuilder(name.Length + 4);
            foreach (var letter in name)
            {
                if (char.IsUpper(letter) && builder.Length > 0)
                {
                    builder.Append('-');
                }
                builder.Append(char.ToLowerInvariant(letter));
            }
            return builder.ToString();
        }
    }
}
