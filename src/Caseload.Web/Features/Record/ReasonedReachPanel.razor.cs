using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>Children opened by a reason that nobody looked over yet.</summary>
public partial class ReasonedReachPanel
{
    private IReadOnlyList<ReasonedReachRow> _rows = [];

    [Inject]
    private ListReasonedReachesHandler Lister { get; set; } = default!;

    [Inject]
    private ReviewReachHandler Reviewer { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() => LoadAsync(FetchAsync, keepsShowing: _rows.Count > 0);

    private async Task<bool> FetchAsync(CancellationToken ct)
    {
        _rows = await Lister.HandleAsync(await Actors.GetAsync(ct), new ListReasonedReaches(), ct);
        return _rows.Count > 0;
    }

    private Task ReviewAsync(Guid id) =>
        RunAsync(async ct =>
        {
            await Reviewer.HandleAsync(await Actors.GetAsync(ct), new ReviewReach(id), ct);
            await ReloadAsync();
        });
}
