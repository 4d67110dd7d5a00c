using Caseload.Data.Digests;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Digest;

/// <summary>The weekly digests, opened at the newest.</summary>
public partial class DigestPage
{
    private const int Most = 12;

    private DigestHistory? _history;
    private DigestView? _view;
    private bool _showsAll;

    /// <summary>Which digest; null for the newest.</summary>
    [Parameter]
    public Guid? DigestId { get; set; }

    [Inject]
    private ListDigestsHandler Lister { get; set; } = default!;

    [Inject]
    private GetDigestHandler Getter { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private NavigationManager Address { get; set; } = default!;

    private string Lead =>
        _view is null ? "What the week brought and what the next one needs" : $"Made on {Dates.Minute(_view.MadeAt)}, kept as it was made";

    private string EmptyTitle => DigestId is null ? "No digest yet" : "There is no such digest";

    // The one that is open is always among them.
    private IEnumerable<DigestRow> ShownRows => _history!.Rows.Where((row, index) => _showsAll || index < Most || row.Id == _view!.Id);

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                var actor = await Actors.GetAsync(ct);
                if (DigestId is { } id)
                {
                    var view = await Getter.HandleAsync(actor, new GetDigest(id), ct);
                    _history = await Lister.HandleAsync(actor, new ListDigests(view?.PersonId, view?.Scope), ct);
                    _view = view;
                }
                else
                {
                    _history = await Lister.HandleAsync(actor, new ListDigests(null, null), ct);
                    _view = _history.Rows is [var newest, ..] ? await Getter.HandleAsync(actor, new GetDigest(newest.Id), ct) : null;
                }
                return _view is not null;
            },
            keepsShowing: _view is not null
        );

    private void Choose(ChangeEventArgs change)
    {
        if (_history!.Readers.FirstOrDefault(reader => KeyOf(reader) == change.Value as string) is { } reader)
        {
            Address.NavigateTo($"digests/{reader.NewestId}");
        }
    }

    private void ShowAll() => _showsAll = true;

    private static string KeyOf(DigestReader? reader) => reader is null ? "" : $"{reader.PersonId} {reader.Scope}";

    private static string TitleOf(DigestReader reader) =>
        reader.Name + (reader.Scope == DigestScope.Programme ? ", whole programme" : ", own caseload");
}
