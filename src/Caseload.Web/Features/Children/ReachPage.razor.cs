using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Children;

/// <summary>Opening a child outside the own reach.</summary>
public partial class ReachPage
{
    private OwnReaches? _reaches;
    private string _code = "";
    private string _reason = "";
    private Guid? _reachedAnyway;
    private IReadOnlyList<Refusal> _refusals = [];

    [Inject]
    private ListOwnReachesHandler Lister { get; set; } = default!;

    [Inject]
    private OpenByReasonHandler Opener { get; set; } = default!;

    [Inject]
    private EndReachHandler Ender { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private NavigationManager Navigator { get; set; } = default!;

    private string Hours => _reaches!.Hours == 1 ? "1 hour" : $"{_reaches.Hours} hours";

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _reaches = await Lister.HandleAsync(await Actors.GetAsync(ct), new ListOwnReaches(), ct);
            return true;
        });

    private Task OpenAsync() =>
        RunAsync(async ct =>
        {
            (_refusals, _reachedAnyway) = ([], null);
            var request = new OpenByReason(Guid.CreateVersion7(Time.GetUtcNow()), _code, _reason);
            switch (await Opener.HandleAsync(await Actors.GetAsync(ct), request, ct))
            {
                case OpenByReasonOutcome.Opened opened:
                    Navigator.NavigateTo($"children/{opened.ChildId}");
                    break;
                case OpenByReasonOutcome.ReachedAnyway reached:
                    _reachedAnyway = reached.ChildId;
                    break;
                case OpenByReasonOutcome.Refused refused:
                    _refusals = refused.Refusals;
                    break;
            }
        });

    private Task EndAsync(Guid id) =>
        RunAsync(async ct =>
        {
            var actor = await Actors.GetAsync(ct);
            await Ender.HandleAsync(actor, new EndReach(id), ct);
            _reaches = await Lister.HandleAsync(actor, new ListOwnReaches(), ct);
        });

    private string? ProblemOf(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
