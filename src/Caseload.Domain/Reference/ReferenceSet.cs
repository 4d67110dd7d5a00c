using System.Diagnostics.CodeAnalysis;

namespace Caseload.Domain.Reference;

/// <summary>A named, versioned set of items with every figure and its source.</summary>
/// <remarks>A published set never changes; a programme that wants other figures publishes a copy as a new version, with a reason.</remarks>
public sealed record ReferenceSet
{
    // Kept with the list it was built from: a copy made by "with" brings the field along, and may bring another list.
    private ItemIndex? _index;

    /// <summary>The set's name, lower case with hyphens.</summary>
    public required string Name { get; init; }

    /// <summary>The version within the name.</summary>
    public required string Version { get; init; }

    /// <summary>What the set is, for people.</summary>
    public required string Title { get; init; }

    /// <summary>The day it was published.</summary>
    public required DateOnly PublishedOn { get; init; }

    /// <summary>The key of the set it was copied from; null for a set of its own.</summary>
    public string? BasedOn { get; init; }

    /// <summary>Why it differs from the set it was copied from.</summary>
    public string? ChangeReason { get; init; }

    /// <summary>Every source that a figure points to.</summary>
    public required IReadOnlyList<ReferenceSource> Sources { get; init; }

    /// <summary>The items, in the order they are listed to people.</summary>
    public required IReadOnlyList<ReferenceItem> Items { get; init; }

    /// <summary>Functional concerns and the items they point to.</summary>
    public required IReadOnlyList<FunctionalConcern> Concerns { get; init; }

    /// <summary>Name and version as one key, for example <c>published@1</c>.</summary>
    public string Key => Name + "@" + Version;

    /// <summary>The item with this id, or null.</summary>
    public ReferenceItem? Find(string id) => TryIndexOf(id, out var index) ? Items[index] : null;

    /// <summary>The source with this key, or null.</summary>
    public ReferenceSource? FindSource(string key) => Sources.FirstOrDefault(source => source.Key == key);

    /// <summary>The concern with this id, or null.</summary>
    public FunctionalConcern? FindConcern(string id) => Concerns.FirstOrDefault(concern => concern.Id == id);

    /// <summary>The position of an item in <see cref="Items"/>.</summary>
    public bool TryIndexOf(string id, [NotNullWhen(true)] out int index)
    {
        var known = _index;
        if (known is null || !ReferenceEquals(known.Items, Items))
        {
            _index = known = new ItemIndex(Items);
        }
        return known.ById.TryGetValue(id, out index);
    }

    /// <summary>A copy under a new version with some items' schedule figures changed. The copy must still pass <see cref="ReferenceSetRules.FaultsOf"/>.</summary>
    /// <param name="name">The copy's name.</param>
    /// <param name="version">The copy's version.</param>
    /// <param name="publishedOn">The day of publication.</param>
    /// <param name="reason">Why the figures differ; required.</param>
    /// <param name="changes">New schedule figures by item id.</param>
    public Checked<ReferenceSet> CopyAs(
        string name,
        string version,
        DateOnly publishedOn,
        string reason,
        IReadOnlyDictionary<string, ItemRuleFigures> changes
    )
    {
        if (string.IsNullOrWhiteSpace(reason))
        {
            return Checked.Refuse<ReferenceSet>("reason", "Say why the figures change. The reason is kept with the version.");
        }
        if (changes.Count == 0)
        {
            return Checked.Refuse<ReferenceSet>(
                "changes",
                "Nothing differs from the version it is copied from. Change at least one figure."
            );
        }
        if (name == Name && version == Version)
        {
            return Checked.Refuse<ReferenceSet>("version", $"{Key} is published and never changes. Give the copy another name or version.");
        }
        if (changes.Keys.Where(id => Find(id) is null).ToList() is { Count: > 0 } unknown)
        {
            return Checked.Refuse<ReferenceSet>([
                .. unknown.Select(id => new Refusal("changes", $"\"{id}\" is not an item of {Key}. Use an item id of that set.")),
            ]);
        }
        var copy = this with
        {
            Name = name,
            Version = version,
            Title = Title,
            PublishedOn = publishedOn,
            BasedOn = Key,
            ChangeReason = reason.Trim(),
            Items = [.. Items.Select(item => changes.TryGetValue(item.Id, out var rule) ? item with { Rule = rule } : item)],
        };
        var faults = ReferenceSetRules.FaultsOf(copy);
        return faults.Count == 0
            ? Checked.Accept(copy)
            : Checked.Refuse<ReferenceSet>([.. faults.Select(fault => new Refusal(fault.Where, fault.What))]);
    }

    private sealed class ItemIndex(IReadOnlyList<ReferenceItem> items)
    {
        internal IReadOnlyList<ReferenceItem> Items { get; } = items;

        internal Dictionary<string, int> ById { get; } =
            items.Select((item, position) => (item.Id, position)).ToDictionary(pair => pair.Id, pair => pair.position);
    }
}
