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
    protected override Task OnInitializedAsync() => FetchAsync();

    private async Task FetchAsync() =>
        _state = await Feeds.HandleAsync(await Actors.GetAsync(CancellationToken.None), new GetCalendarFeed(), CancellationToken.None);

    private async Task KeepAsync(bool isWanted)
    {
        _address = await Keeping.HandleAsync(
            await Actors.GetAsync(CancellationToken.None),
            new KeepCalendarFeed(isWanted),
            CancellationToken.None
        );
        await FetchAsync();
    }
}
