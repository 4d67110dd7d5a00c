using System.Text.Encodings.Web;
using System.Text.Json;

namespace Caseload.Web.Platform.Families;

/// <summary>The parts of a page as they are stored.</summary>
public static class FamilyParts
{
    private static readonly JsonSerializerOptions _json = new(JsonSerializerDefaults.Web)
    {
        // Stored, never put into a page: letters stay letters.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>The parts as a JSON array.</summary>
    public static string Write(IReadOnlyList<FamilyPart> parts) => JsonSerializer.Serialize(parts, _json);

    /// <summary>The parts of a JSON array.</summary>
    public static IReadOnlyList<FamilyPart> Read(string parts) => JsonSerializer.Deserialize<List<FamilyPart>>(parts, _json)!;
}
