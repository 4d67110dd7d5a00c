using System.Text.Json;
using System.Text.Json.Serialization;

namespace Caseload.Domain.Reference;

/// <summary>Reads and writes reference sets, and holds those that come with the program.</summary>
public static class ReferenceSets
{
    private const string ResourcePrefix = "Caseload.Reference.";

    private static readonly Lazy<IReadOnlyList<ReferenceSet>> _builtIn = new(LoadBuiltIn);

    /// <summary>The sets that come with the program, by key.</summary>
    public static IReadOnlyList<ReferenceSet> BuiltIn => _builtIn.Value;

    /// <summary>The set a new programme starts with.</summary>
    public static ReferenceSet Default => BuiltIn[^1];

    /// <summary>The built-in set with this key, or null.</summary>
    public static ReferenceSet? Find(string key) => BuiltIn.FirstOrDefault(set => set.Key == key);

    /// <summary>Reads a set from JSON and checks it whole.</summary>
    /// <returns>The set, or every fault with the place where it stands.</returns>
    public static Checked<ReferenceSet> Read(string json)
    {
        ReferenceSet? set;
        try
        {
            set = JsonSerializer.Deserialize(json, ReferenceJson.Default.ReferenceSet);
        }
        catch (JsonException exception)
        {
            return Checked.Refuse<ReferenceSet>(exception.Path ?? "file", "The file is not a reference set: " + exception.Message);
        }
        if (set is null)
        {
            return Checked.Refuse<ReferenceSet>("file", "The file is empty.");
        }
        // Nullable annotations do not reach into lists, so an entry may be null although the type says otherwise.
        var holes = new (string Name, IEnumerable<object?> Entries)[]
        {
            ("items", set.Items),
            ("sources", set.Sources),
            ("concerns", set.Concerns),
        }
            .Where(list => list.Entries.Contains(null))
            .Select(list => new Refusal(list.Name, "An entry of the list is null. Write it out or take it away."))
            .ToList();
        if (holes.Count > 0)
        {
            return Checked.Refuse<ReferenceSet>(holes);
        }
        var faults = ReferenceSetRules.FaultsOf(set);
        return faults.Count == 0
            ? Checked.Accept(set)
            : Checked.Refuse<ReferenceSet>([.. faults.Select(fault => new Refusal(fault.Where, fault.What))]);
    }

    /// <summary>Writes a set in the form that <see cref="Read"/> takes.</summary>
    public static string Write(ReferenceSet set) => JsonSerializer.Serialize(set, ReferenceJson.Default.ReferenceSet);

    private static List<ReferenceSet> LoadBuiltIn()
    {
        var assembly = typeof(ReferenceSets).Assembly;
        var sets = new List<ReferenceSet>();
        foreach (
            var name in assembly
                .GetManifestResourceNames()
                .Where(name => name.StartsWith(ResourcePrefix, StringComparison.Ordinal))
                .Order(StringComparer.Ordinal)
        )
        {
            using var stream = assembly.GetManifestResourceStream(name)!;
            using var reader = new StreamReader(stream);
            var read = Read(reader.ReadToEnd());
            if (!read.IsAccepted)
            {
                throw new InvalidDataException(
                    $"Built-in reference set {name}: " + string.Join(" ", read.Refusals.Select(fault => $"[{fault.Field}] {fault.Message}"))
                );
            }
            sets.Add(read.Value);
        }
        return sets;
    }
}

/// <summary>Spells an enumerated term as a hyphenated word.</summary>
internal sealed class WordConverter<T> : JsonConverter<T>
    where T : struct, Enum
{
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        EnumWords.FromWord<T>(reader.GetString())
        ?? throw new JsonException($"\"{reader.GetString()}\" is not one of: {EnumWords.ListOf<T>()}.");

    public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) => writer.WriteStringValue(value.ToWord());
}

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    WriteIndented = true,
    RespectNullableAnnotations = true,
    IgnoreReadOnlyProperties = true,
    Converters = [
        typeof(WordConverter<ItemFamily>),
        typeof(WordConverter<ItemCourse>),
        typeof(WordConverter<Sidedness>),
        typeof(WordConverter<TestPosition>),
        typeof(WordConverter<Confidence>),
        typeof(WordConverter<Exclusion>),
        typeof(WordConverter<OnsetUnit>),
        typeof(WordConverter<Certainty>),
        typeof(WordConverter<FigureKind>),
        typeof(WordConverter<FigureUnit>),
        typeof(WordConverter<Findings.BehaviouralState>),
    ]
)]
[JsonSerializable(typeof(ReferenceSet))]
internal sealed partial class ReferenceJson : JsonSerializerContext;
