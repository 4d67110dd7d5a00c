namespace Caseload.Web.Features.Reference;

/// <summary>A part of the reference with its own page.</summary>
public sealed record ReferenceTab(string Path, string Text)
{
    /// <summary>Items by family.</summary>
    public static ReferenceTab Items { get; } = new("reference", "Items");

    /// <summary>Functional concerns.</summary>
    public static ReferenceTab Concerns { get; } = new("reference/concerns", "Concerns");

    /// <summary>Sources.</summary>
    public static ReferenceTab Sources { get; } = new("reference/sources", "Sources");

    /// <summary>Published versions.</summary>
    public static ReferenceTab Versions { get; } = new("reference/versions", "Versions");

    /// <summary>Every tab in order.</summary>
    public static IReadOnlyList<ReferenceTab> All { get; } = [Items, Concerns, Sources, Versions];
}
