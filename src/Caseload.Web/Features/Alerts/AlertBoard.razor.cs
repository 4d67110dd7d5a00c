using Caseload.Data.Access;
using Caseload.Domain.Alerts;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Alerts;

/// <summary>Alerts child by child, with everything that can be done about them, by touch and by keys; follows what others do.</summary>
public partial class AlertBoard
{
    private static readonly string[] _keys = ["j", "k", "ArrowDown", "ArrowUp", "x", "a", "o", "?"];

    private readonly AlertDesk _desk = new();
    private ElementReference _root;
    private DotNetObjectReference<AlertBoard>? _self;
    private AlertWatch? _watch;
    private ListAlerts? _asked;
    private string _stamp = "";
    private string? _said;
    private string? _problem;
    private bool _mayAnswer;
    private bool _showsKeys;

    /// <summary>Which alerts.</summary>
    [Parameter, EditorRequired]
    public ListAlerts Request { get; set; } = default!;

    /// <summary>Whether they are of one child, whose page it is.</summary>
    [Parameter]
    public bool IsOfOneChild { get; set; }

    /// <summary>Heading when there is none.</summary>
    [Parameter]
    public string EmptyTitle { get; set; } = "No alert";

    /// <summary>Why there is none.</summary>
    [Parameter]
    public RenderFragment? Empty { get; set; }

    /// <summary>Raised with each list.</summary>
    [Parameter]
    public EventCallback<AlertsView> OnLoaded { get; set; }

    [Inject]
    private ListAlertsHandler List { get; set; } = default!;

    [Inject]
    private CountAlertsHandler Count { get; set; } = default!;

    [Inject]
    private ChangeNotifier Notifier { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private bool HasKeys => !IsOfOneChild;

    /// <inheritdoc />
    protected override async Task OnParametersSetAsync()
    {
        if (Request != _asked)
        {
            var isFirst = _asked is null;
            _asked = Request;
            (_said, _problem) = (null, null);
            await LoadAsync(FetchAsync, keepsShowing: !isFirst);
        }
    }

    /// <inheritdoc />
    protected override async Task OnAfterRenderAsync(bool firstRender)
    {
        if (firstRender && HasKeys)
        {
            _self = DotNetObjectReference.Create(this);
            await Browser.InvokeVoidAsync("caseload.watchKeys", Leaving, _root, _self, _keys);
        }
    }

    /// <summary>The browser says that a key was pressed within the list.</summary>
    [JSInvokable]
    public async Task KeyAsync(string key)
    {
        switch (key)
        {
            case "j" or "ArrowDown":
                await FocusAsync(_desk.GoBy(1));
                break;
            case "k" or "ArrowUp":
                await FocusAsync(_desk.GoBy(-1));
                break;
            case "x" when _mayAnswer && _desk.Current is { } current:
                _desk.Select(current.Id);
                _said = $"{_desk.Selected.Count} selected";
                break;
            case "a" when _mayAnswer && _desk.Current is { } current && AlertLife.Allows(current.State, AlertAnswer.Acknowledge):
                await AnswerAsync(AlertAnswer.Acknowledge, [current]);
                break;
            case "o" when _desk.Current is { } current:
                await OpenAsync(current);
                break;
            case "?":
                _showsKeys = !_showsKeys;
                break;
        }
        StateHasChanged();
    }

    /// <inheritdoc />
    protected override void Dispose(bool isDisposing)
    {
        _watch?.Dispose();
        _self?.Dispose();
        base.Dispose(isDisposing);
    }

    private Task ReloadAsync() => LoadAsync(FetchAsync);

    private async Task<bool> FetchAsync(CancellationToken ct)
    {
        var actor = await Actors.GetAsync(ct);
        _mayAnswer = actor.May(Permission.AnswerAlerts);
        _watch ??= new AlertWatch(Notifier, Time, actor.ProgrammeId, () => InvokeAsync(RefreshAsync));
        _stamp = (await Count.HandleAsync(actor, new CountAlerts(), ct)).Stamp;
        _desk.Take(await List.HandleAsync(actor, Request, ct), ProgrammeDays.In(Time.GetUtcNow(), actor.TimeZone));
        await OnLoaded.InvokeAsync(_desk.View);
        return _desk.Rows.Count > 0;
    }

    /// <summary>Loads anew when something changed; what is selected, open or half typed stays.</summary>
    private async Task RefreshAsync()
    {
        if (IsBusy || Leaving.IsCancellationRequested || Status is ViewStatus.Loading or ViewStatus.Denied)
        {
            return;
        }
        await LoadAsync(
            async ct =>
            {
                try
                {
                    var actor = await Actors.GetAsync(ct);
                    _desk.At = ProgrammeDays.In(Time.GetUtcNow(), actor.TimeZone);
                    return (await Count.HandleAsync(actor, new CountAlerts(), ct)).Stamp == _stamp
                        ? _desk.Rows.Count > 0
                        : await FetchAsync(ct);
                }
                catch (Exception failure) when (DatabaseTrouble.IsBehind(failure))
                {
                    // What is shown stays; the next minute asks again.
                    return _desk.Rows.Count > 0;
                }
            },
            keepsShowing: true
        );
        StateHasChanged();
    }
}
