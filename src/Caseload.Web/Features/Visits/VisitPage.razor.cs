using Caseload.Data;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Visits;

/// <summary>A visit: logged here while it is open, read here when it is finished.</summary>
public partial class VisitPage
{
    private Actor? _actor;
    private VisitView? _view;

    /// <summary>The visit.</summary>
    [Parameter]
    public Guid Id { get; set; }

    [Inject]
    private GetVisitHandler Handler { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    private string Title
    {
        get
        {
            var by = _view!.Head.Clinician is { } clinician ? ", " + clinician : "";
            var finished = _view.Finished is { } done ? ", finished " + FinishedText(done.FinishedAt) : "";
            return $"Visit on {Dates.Full(_view.Head.VisitedOn)}{by}{finished}";
        }
    }

    /// <inheritdoc />
    protected override Task OnParametersSetAsync() => _view?.Head.VisitId == Id ? Task.CompletedTask : ReloadAsync();

    private string FinishedText(DateTimeOffset at)
    {
        var on = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, _actor!.TimeZone).DateTime);
        return (on == _view!.Head.VisitedOn ? "" : Dates.Full(on) + " ") + VisitWords.Time(at, _actor.TimeZone);
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _actor = await Actors.GetAsync(ct);
            _view = await Handler.HandleAsync(_actor, new GetVisit(Id), ct);
            return _view is not null;
        });

    private async Task RefreshAsync() => _view = await Handler.HandleAsync(_actor!, new GetVisit(Id), Leaving) ?? _view;
}
