using Caseload.Domain.Reference;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>One item: how it is tested, what it can mean, and what each source says about its ages.</summary>
public partial class ReferenceItemPage
{
    private ReferenceView? _view;
    private ReferenceItem? _item;

    /// <summary>The item.</summary>
    [Parameter]
    public string ItemId { get; set; } = "";

    /// <summary>The version to show; the one in use when not given.</summary>
    [SupplyParameterFromQuery(Name = "set")]
    private string? SetKey { get; set; }

    [Inject]
    private FindReferenceSetHandler Sets { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private string Query => _view is { IsActive: false } ? "?set=" + Uri.EscapeDataString(_view.Set.Key) : "";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _view = await Sets.HandleAsync(await Actors.GetAsync(ct), new FindReferenceSet(SetKey), ct);
            _item = _view?.Set.Find(ItemId);
            return _item is not null;
        });
}
