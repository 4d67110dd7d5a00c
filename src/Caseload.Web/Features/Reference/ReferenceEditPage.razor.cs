using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Routing;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Reference;

/// <summary>A changed copy of the set in use, published as a new version.</summary>
public partial class ReferenceEditPage
{
    private readonly HashSet<string> _open = [];
    private ReferenceForm? _form;
    private ReferencePreview? _preview;
    private string _find = "";
    private bool _isOnlyChanged;
    private bool _isPublished;

    /// <summary>The item to open first.</summary>
    [SupplyParameterFromQuery(Name = "item")]
    private string? FirstItem { get; set; }

    [Inject]
    private GetReferenceDraftHandler Drafts { get; set; } = default!;

    [Inject]
    private PreviewReferenceSetHandler Previews { get; set; } = default!;

    [Inject]
    private PublishReferenceSetHandler Publishing { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private bool HasUnsaved => !_isPublished && _form is { HasChanges: true };

    private IReadOnlyList<ItemEntry> Shown =>
        [
            .. _form!.Items.Where(entry =>
                entry.Item.Name.Contains(_find.Trim(), StringComparison.OrdinalIgnoreCase)
                && (!_isOnlyChanged || entry.Figures.Any(figure => figure.IsChanged))
            ),
        ];

    private string Summary => $"{_form!.Changes.Count} changed, {_form.Faults.Count} to put right: review and publish";

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _form = new ReferenceForm(await Drafts.HandleAsync(await Actors.GetAsync(ct), new GetReferenceDraft(), ct));
            if (FirstItem is not null && _form.Basis.Find(FirstItem) is { } first)
            {
                _open.Add(first.Id);
                _find = first.Name;
            }
            return _form.Items.Count > 0;
        });

    private void Changed()
    {
        _preview = null;
        _form!.Check();
    }

    private Task PreviewAsync() =>
        RunAsync(async ct =>
        {
            if (_form!.Candidate is { } candidate)
            {
                _preview = await Previews.HandleAsync(await Actors.GetAsync(ct), new PreviewReferenceSet(candidate), ct);
            }
        });

    private Task PublishAsync() =>
        RunAsync(async ct =>
        {
            _form!.Check();
            if (_form.Faults.Count > 0)
            {
                return;
            }
            switch (await Publishing.HandleAsync(await Actors.GetAsync(ct), _form.ToRequest(), ct))
            {
                case PublishReferenceSetOutcome.Done done:
                    _isPublished = true;
                    Navigation.NavigateTo("reference/versions?published=" + Uri.EscapeDataString(done.SetKey));
                    break;
                case PublishReferenceSetOutcome.Refused refused:
                    _form.Refuse(refused.Refusals);
                    break;
            }
        });

    private async Task ConfirmLeavingAsync(LocationChangingContext leaving)
    {
        var isSamePage = new Uri(Navigation.ToAbsoluteUri(leaving.TargetLocation).AbsoluteUri).AbsolutePath.EndsWith(
            "/reference/edit",
            StringComparison.Ordinal
        );
        if (
            HasUnsaved
            && !isSamePage
            && !await Browser.InvokeAsync<bool>("confirm", "Leave without publishing? The changed figures are lost.")
        )
        {
            leaving.PreventNavigation();
        }
    }

    private void Toggle(string id)
    {
        if (!_open.Remove(id))
        {
            _open.Add(id);
        }
    }

    private void Open(string id)
    {
        (_find, _isOnlyChanged) = (_form!.Basis.Find(id)?.Name ?? "", false);
        _open.Add(id);
    }

    private void ToggleOnlyChanged(ChangeEventArgs change) => _isOnlyChanged = change.Value is true;
}
