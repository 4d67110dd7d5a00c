using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Record;

/// <summary>Unusual access in a span of days, and the sign-off that somebody looked it over.</summary>
public partial class UnusualPanel
{
    private const int FirstDays = 7;

    private DateOnly? _fromOn;
    private DateOnly? _throughOn;
    private DateOnly _shownFromOn;
    private DateOnly _shownThroughOn;
    private UnusualAccess? _report;
    private IReadOnlyList<Refusal> _refusals = [];

    [Inject]
    private ExamineRecordHandler Examiner { get; set; } = default!;

    [Inject]
    private SignOffRecordHandler SigningOff { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() => LoadAsync(FetchAsync, keepsShowing: _report is not null);

    private async Task<bool> FetchAsync(CancellationToken ct)
    {
        var actor = await Actors.GetAsync(ct);
        _throughOn ??= actor.TodayOn(Time);
        _fromOn ??= _throughOn.Value.AddDays(-FirstDays);
        _refusals = _fromOn > _throughOn ? [new Refusal("unusual-through", "The last day lies before the first.")] : [];
        if (_refusals.Count == 0)
        {
            (_shownFromOn, _shownThroughOn) = (_fromOn.Value, _throughOn.Value);
            _report = await Examiner.HandleAsync(actor, new ExamineRecord(_shownFromOn, _shownThroughOn), ct);
        }
        return true;
    }

    // What is signed off is the span that is on the screen, not the one in the fields.
    private Task SignOffAsync() =>
        RunAsync(async ct =>
        {
            var actor = await Actors.GetAsync(ct);
            _refusals = await SigningOff.HandleAsync(actor, new SignOffRecord(_shownFromOn, _shownThroughOn), ct);
            if (_refusals.Count == 0)
            {
                _report = await Examiner.HandleAsync(actor, new ExamineRecord(_shownFromOn, _shownThroughOn), ct);
            }
        });

    private string? ProblemOf(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
