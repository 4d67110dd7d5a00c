using Caseload.Domain.Reference;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>Every item of a set, by family.</summary>
public partial class ReferencePage
{
    private ReferenceView? _view;
    private string _find = "";

    /// <summary>The version to show; the one in use when not given.</summary>
    [SupplyParameterFromQuery(Name = "set")]
    private string? SetKey { get; set; }

    [Inject]
    private FindReferenceSetHandler Sets { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private IReadOnlyList<IGrouping<ItemFamily, ReferenceItem>> Families =>
        [.. _view!.Set.Items.Where(IsFound).GroupBy(item => item.Family).OrderBy(family => family.Key)];

    private string Query => _view is { IsActive: false } ? "?set=" + Uri.EscapeDataString(_view.Set.Key) : "";

    private string CountText => $"{_view!.Set.Items.Count(IsFound)} items shown";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _view = await Sets.HandleAsync(await Actors.GetAsync(ct), new FindReferenceSet(SetKey), ct);
            return _view is not null;
        });

    private bool IsFound(ReferenceItem item)
    {
        var find = _find.Trim();
        return find.Length == 0
            || item.Name.Contains(find, StringComparison.OrdinalIgnoreCase)
            || item.Aliases.Any(alias => alias.Contains(find, StringComparison.OrdinalIgnoreCase));
    }

    private void Clear() => _find = "";
}
