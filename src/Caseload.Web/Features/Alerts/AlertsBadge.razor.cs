using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Alerts;

/// <summary>How many alerts wait for an answer; stands beside the navigation's entry and follows what happens.</summary>
public partial class AlertsBadge : IDisposable
{
    private readonly CancellationTokenSource _gone = new();
    private AlertCount? _count;
    private AlertWatch? _watch;

    /// <summary>Who looks.</summary>
    [Parameter, EditorRequired]
    public Actor Actor { get; set; } = default!;

    [Inject]
    private CountAlertsHandler Handler { get; set; } = default!;

    [Inject]
    private ChangeNotifier Notifier { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private FailureLog Failures { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        _watch = new AlertWatch(Notifier, Time, Actor.ProgrammeId, () => InvokeAsync(AskAsync));
        await AskAsync();
    }

    /// <inheritdoc />
    public void Dispose()
    {
        _watch?.Dispose();
        _gone.Cancel();
        _gone.Dispose();
        GC.SuppressFinalize(this);
    }

    private async Task AskAsync()
    {
        if (_gone.IsCancellationRequested)
        {
            return;
        }
        try
        {
            _count = await Handler.HandleAsync(Actor, new CountAlerts(), _gone.Token);
        }
        catch (OperationCanceledException) when (_gone.IsCancellationRequested)
        {
            return;
        }
        catch (Exception failure) when (failure is AccessDeniedException or SignInEndedException)
        {
            // The page beside it says so; asking every minute would fill the access record with refusals.
            _watch?.Dispose();
            _count = null;
        }
        catch (Exception failure)
        {
            // The last number stays, and the next minute asks again.
            Failures.Record(failure, nameof(AlertsBadge));
        }
        StateHasChanged();
    }
}
