using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Due;

/// <summary>Children that were given to the person lately, with what the one before wants known and what is open.</summary>
public partial class HandoverPanel
{
    private IReadOnlyList<HandoverRow> _rows = [];

    [Inject]
    private ListHandoversHandler Handovers { get; set; } = default!;

    [Inject]
    private ReadHandoverHandler Reading { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            return true;
        });

    private async Task FetchAsync(CancellationToken ct) =>
        _rows = await Handovers.HandleAsync(await Actors.GetAsync(ct), new ListHandovers(), ct);

    private Task PutAwayAsync(Guid id) =>
        RunAsync(async ct =>
        {
            await Reading.HandleAsync(await Actors.GetAsync(ct), new ReadHandover(id), ct);
            await FetchAsync(ct);
        });
}
