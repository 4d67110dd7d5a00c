using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Caseload.Domain;

namespace Caseload.Data.Access;

/// <summary>Collects what an activity entry says. Takes identifiers, dates, counts and words, and on purpose no free text.</summary>
public sealed partial class AccessDetail
{
    private readonly JsonObject _values = [];

    /// <summary>An id.</summary>
    public AccessDetail With(string name, Guid id) => Set(name, id.ToString());

    /// <summary>An id, when there is one.</summary>
    public AccessDetail With(string name, Guid? id) => id is { } known ? With(name, known) : this;

    /// <summary>Several ids.</summary>
    public AccessDetail WithAll(string name, IEnumerable<Guid> ids) =>
        Set(name, new JsonArray([.. ids.Select(id => JsonValue.Create(id.ToString()))]));

    /// <summary>A day.</summary>
    public AccessDetail With(string name, DateOnly on) => Set(name, on.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));

    /// <summary>A count.</summary>
    public AccessDetail With(string name, int count) => Set(name, count);

    /// <summary>A large count, or a number of the record.</summary>
    public AccessDetail With(string name, long count) => Set(name, count);

    /// <summary>Whether something is so.</summary>
    public AccessDetail With(string name, bool isSo) => Set(name, isSo);

    /// <summary>A word of an enumeration.</summary>
    public AccessDetail With<T>(string name, T word)
        where T : struct, Enum => Set(name, word.ToWord());

    /// <summary>Several words of an enumeration.</summary>
    public AccessDetail WithAll<T>(string name, IEnumerable<T> words)
        where T : struct, Enum => Set(name, new JsonArray([.. words.Select(word => JsonValue.Create(word.ToWord()))]));

    /// <summary>A key such as an item id, a field name or a reference set key; anything that could be prose is refused.</summary>
    public AccessDetail WithKey(string name, string key) =>
        KeyPattern().IsMatch(key) ? Set(name, key) : throw new ArgumentException("Not a key; activity entries hold no texts.", nameof(key));

    /// <summary>The collected values as a JSON object.</summary>
    public override string ToString() => _values.ToJsonString();

    private AccessDetail Set(string name, JsonNode value)
    {
        _values[name] = value;
        return this;
    }

    [GeneratedRegex("^[a-z][A-Za-z0-9_@.-]{0,79}$", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex KeyPattern();
}
