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
    protected override Task OnInitializedAsync() => FetchAsync();

    private async Task FetchAsync() =>
        _rows = await Handovers.HandleAsync(await Actors.GetAsync(CancellationToken.None), new ListHandovers(), CancellationToken.None);

    private async Task PutAwayAsync(Guid id)
    {
        await Reading.HandleAsync(await Actors.GetAsync(CancellationToken.None), new ReadHandover(id), CancellationToken.None);
        await FetchAsync();
    }
}
