using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Summaries;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Summary;

/// <summary>A caseload on a day, on the screen, to print and to take away.</summary>
public partial class SummaryPage
{
    private SummaryView? _view;
    private DateOnly _todayOn;
    private DateOnly? _asOfOn;
    private DateOnly? _sinceOn;
    private Guid? _clinicianId;
    private string? _zone;
    private AgeBand? _band;
    private ItemState? _state;
    private Concern? _leastAlert;
    private bool _withNames = true;

    [Inject]
    private GetSummaryHandler Summaries { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private SummaryRequest Request => new(_asOfOn, _sinceOn, _clinicianId, _zone, _band, _state, _leastAlert, _withNames);

    private static IEnumerable<(string, string)> States =>
        Enum.GetValues<ItemState>().Select(state => (state.ToString(), Labels.Of(state)));

    private static IEnumerable<(string, string)> Bands => Enum.GetValues<AgeBand>().Select(band => (band.ToString(), AgeBands.Of(band)));

    private static IEnumerable<(string, string)> Alerts =>
        Enum.GetValues<Concern>()
            .Where(severity => severity > Concern.None)
            .OrderDescending()
            .Select(severity =>
                (severity.ToString(), AlertText.Severity(severity) + (severity == Concern.SameDay ? "" : " or more severe"))
            );

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(
            async ct =>
            {
                var actor = await Actors.GetAsync(ct);
                _todayOn = actor.TodayOn(Time);
                _view = await Summaries.HandleAsync(actor, Request, ct);
                return _view.Summary?.Children.Count > 0;
            },
            keepsShowing: true
        );

    private Task ChooseAsync(Action choose)
    {
        choose();
        return ReloadAsync();
    }

    private string? ProblemOf(string field) => _view?.Refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("caseload.print");
}
