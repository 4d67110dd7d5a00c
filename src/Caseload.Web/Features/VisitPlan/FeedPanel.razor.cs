using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.VisitPlan;

/// <summary>The person's private calendar address.</summary>
public partial class FeedPanel
{
    private CalendarFeedState? _state;
    private string? _address;

    [Inject]
    private GetCalendarFeedHandler Feeds { get; set; } = default!;

    [Inject]
    private KeepCalendarFeedHandler Keeping { get; set; } = default!;

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
        _state = await Feeds.HandleAsync(await Actors.GetAsync(ct), new GetCalendarFeed(), ct);

    private Task KeepAsync(bool isWanted) =>
        RunAsync(async ct =>
        {
            _address = await Keeping.HandleAsync(await Actors.GetAsync(ct), new KeepCalendarFeed(isWanted), ct);
            await FetchAsync(ct);
        });
}
