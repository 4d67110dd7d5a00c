using Caseload.Domain;
using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>A figure that differs from the version it is copied from.</summary>
/// <param name="ItemId">The item.</param>
/// <param name="Item">Its name.</param>
/// <param name="Figure">The figure.</param>
/// <param name="From">What it was.</param>
/// <param name="To">What it becomes.</param>
/// <param name="Sources">The sources it will name.</param>
public sealed record FigureChangeRow(string ItemId, string Item, string Figure, string From, string To, IReadOnlyList<string> Sources);

/// <summary>A new version while it is being typed: what changes, and everything that keeps it from being published.</summary>
public sealed class ReferenceForm
{
    private readonly ReferenceDraft _draft;
    private IReadOnlyList<Refusal> _refused = [];

    /// <summary>Starts from the set in use.</summary>
    public ReferenceForm(ReferenceDraft draft)
    {
        _draft = draft;
        Items = [.. draft.Set.Items.Select(item => new ItemEntry(item))];
        Name = draft.Name;
        Version = draft.Version;
    }

    /// <summary>The set it is copied from.</summary>
    public ReferenceSet Basis => _draft.Set;

    /// <summary>Every item.</summary>
    public IReadOnlyList<ItemEntry> Items { get; }

    /// <summary>The new version's name.</summary>
    public string Name { get; set; }

    /// <summary>The new version.</summary>
    public string Version { get; set; }

    /// <summary>Why the figures differ.</summary>
    public string Reason { get; set; } = "";

    /// <summary>Everything that stands in the way so far, by field; a missing reason is not counted until publishing.</summary>
    public IReadOnlyList<Refusal> Faults { get; private set; } = [];

    /// <summary>The set as it would be published; null while it has faults or nothing differs.</summary>
    public ReferenceSet? Candidate { get; private set; }

    /// <summary>The figures that differ.</summary>
    public IReadOnlyList<FigureChangeRow> Changes =>
        [
            .. Items.SelectMany(entry =>
                entry
                    .Figures.Where(figure => figure.IsChanged && figure.Problem is null)
                    .Select(figure => new FigureChangeRow(
                        entry.Item.Id,
                        entry.Item.Name,
                        FigureEntry.NameOf(figure.Figure),
                        figure.Words(figure.Original),
                        figure.Words(figure.Ages),
                        figure.Sources
                    ))
            ),
        ];

    /// <summary>Whether anything was typed that leaving the page would lose.</summary>
    public bool HasChanges => Items.Any(entry => entry.Figures.Any(figure => figure.IsChanged));

    /// <summary>Looks for faults anew; to be called after every change.</summary>
    public void Check()
    {
        _refused = [];
        var unreadable = Items.SelectMany(entry =>
            entry
                .Figures.Where(figure => figure.Problem is not null)
                .Select(figure => new Refusal($"{entry.Item.Id}.{figure.Field}", figure.Problem!))
        );
        var changes = ChangedFigures();
        // A reason is asked for when publishing; without one here, no other fault would be named.
        var copy = changes.Count == 0 ? null : Basis.CopyAs(Name.Trim(), Version.Trim(), _draft.TodayOn, "not given yet", changes);
        Faults = [.. unreadable, .. copy?.Refusals ?? []];
        Candidate = Faults.Count == 0 ? copy?.Value : null;
    }

    /// <summary>Keeps what publishing was refused for, until the next change.</summary>
    public void Refuse(IReadOnlyList<Refusal> refusals) => _refused = refusals;

    /// <summary>What is wrong with a field of the whole: name, version, reason, changes or basis.</summary>
    public string? ProblemOf(string field) => Faults.Concat(_refused).FirstOrDefault(fault => fault.Field == field)?.Message;

    /// <summary>What is wrong with a figure.</summary>
    public string? ProblemOf(ItemEntry item, FigureEntry figure) => ProblemOf($"{item.Item.Id}.{figure.Field}");

    /// <summary>How many faults an item has.</summary>
    public int FaultCountOf(ItemEntry item) =>
        Faults.Concat(_refused).Count(fault => fault.Field.StartsWith(item.Item.Id + ".", StringComparison.Ordinal));

    /// <summary>What publishing asks for.</summary>
    public PublishReferenceSet ToRequest() => new(Basis.Key, Name.Trim(), Version.Trim(), Reason, ChangedFigures());

    private Dictionary<string, ItemRuleFigures> ChangedFigures() =>
        Items
            .Where(entry => entry.Figures.Any(figure => figure.IsChanged && figure.Problem is null))
            .ToDictionary(entry => entry.Item.Id, entry => entry.ToFigures());
}
