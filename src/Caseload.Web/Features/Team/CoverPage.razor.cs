using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>The team lead's page about who is away.</summary>
public partial class CoverPage
{
    private CoverList? _list;
    private CoverForm _form = new();
    private IReadOnlyList<Refusal> _refusals = [];
    private string? _saved;
    private Guid _newId;

    [Inject]
    private ListCoversHandler Covers { get; set; } = default!;

    [Inject]
    private SaveCoverHandler Saving { get; set; } = default!;

    [Inject]
    private EndCoverHandler Ending { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            Begin();
            return true;
        });

    private async Task FetchAsync(CancellationToken ct) =>
        _list = await Covers.HandleAsync(await Actors.GetAsync(ct), new ListCovers(), ct);

    private void Begin()
    {
        _newId = Guid.CreateVersion7(Time.GetUtcNow());
        _form = new CoverForm { FromOn = _list!.TodayOn };
        _refusals = [];
    }

    private Task SaveAsync() =>
        RunAsync(async ct =>
        {
            _saved = null;
            _refusals = await Saving.HandleAsync(await Actors.GetAsync(ct), new SaveCover(_newId, _form), ct);
            if (_refusals.Count == 0)
            {
                await FetchAsync(ct);
                Begin();
                _saved = "The cover is arranged.";
            }
        });

    private Task EndAsync(Guid id) =>
        RunAsync(async ct =>
        {
            _saved = null;
            await Ending.HandleAsync(await Actors.GetAsync(ct), new EndCover(id), ct);
            await FetchAsync(ct);
        });
}
