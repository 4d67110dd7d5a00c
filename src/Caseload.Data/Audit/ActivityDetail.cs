using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Caseload.Domain;

namespace Caseload.Data.Audit;

/// <summary>Collects what an activity entry says. Takes identifiers, dates, counts and words, and on purpose no free text.</summary>
public sealed partial class ActivityDetail
{
    private readonly JsonObject _values = [];

    /// <summary>An id.</summary>
    public ActivityDetail With(string name, Guid id) => Set(name, id.ToString());

    /// <summary>A day.</summary>
    public ActivityDetail With(string name, DateOnly on) => Set(name, on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

    /// <summary>A count.</summary>
    public ActivityDetail With(string name, int count) => Set(name, count);

    /// <summary>A word of an enumeration.</summary>
    public ActivityDetail With<T>(string name, T word)
        where T : struct, Enum => Set(name, word.ToWord());

    /// <summary>A key such as an item id, a field name or a reference set key; anything that could be prose is refused.</summary>
    public ActivityDetail WithKey(string name, string key) =>
        KeyPattern().IsMatch(key) ? Set(name, key) : throw new ArgumentException("Not a key; activity entries hold no texts.", nameof(key));

    /// <summary>The collected values as a JSON object.</summary>
    public override string ToString() => _values.ToJsonString();

    private ActivityDetail Set(string name, JsonNode value)
    {
        _values[name] = value;
        return this;
    }

    [GeneratedRegex("^[a-z][A-Za-z0-9_@.-]{0,79}$", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex KeyPattern();
}
