using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Components.Layout;

/// <summary>Watches over the sign-in a circuit runs under: warns before the idle time is over, and leaves when the sign-in ends.</summary>
public partial class SignInWatch : IAsyncDisposable
{
    private const int WarnSecondsBefore = 60;

    private static readonly TimeSpan _askEvery = TimeSpan.FromSeconds(30);

    private readonly CancellationTokenSource _gone = new();
    private Task _asking = Task.CompletedTask;
    private IDisposable? _line;
    private DotNetObjectReference<SignInWatch>? _self;
    private bool _hasLeft;
    private bool _watchesIdle;

    /// <summary>Who is signed in.</summary>
    [Parameter, EditorRequired]
    public Actor Actor { get; set; } = default!;

    [Inject]
    private SignInSwitchboard Switchboard { get; set; } = default!;

    [Inject]
    private SignInKeeper Keeper { get; set; } = default!;

    [Inject]
    private IdleTime Idle { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private SignInClaims Claims => new(Actor.PersonId, Actor.SignInId);

    /// <inheritdoc />
    protected override void OnInitialized()
    {
        _line = Switchboard.Listen(id =>
        {
            if (id == Actor.SignInId)
            {
                _ = InvokeAsync(Leave);
            }
        });
        _asking = AskNowAndThenAsync();
    }

    /// <inheritdoc />
    protected override async Task OnAfterRenderAsync(bool firstRender)
    {
        if (firstRender)
        {
            _self = DotNetObjectReference.Create(this);
            await WatchIdleAsync();
        }
    }

    /// <summary>Has the browser count the idle time; while the database is away the server still counts for itself, and the next tick tries again.</summary>
    private async Task WatchIdleAsync()
    {
        try
        {
            var seconds = (int)(await Idle.OfAsync(Actor, _gone.Token)).TotalSeconds;
            await Browser.InvokeVoidAsync("caseload.watchIdle", _self, seconds, WarnSecondsBefore);
            _watchesIdle = true;
        }
        catch (OperationCanceledException) when (_gone.IsCancellationRequested)
        {
            // The page is gone.
        }
        catch (SignInEndedException)
        {
            Leave();
        }
        catch (Exception failure) when (DatabaseTrouble.IsBehind(failure))
        {
            // A failure here would end the circuit, and with it the page's own way to say what is wrong and to try again.
        }
    }

    /// <summary>The browser says that the person did something.</summary>
    [JSInvokable]
    public async Task NoteActivityAsync()
    {
        await Keeper.NoteActivityAsync(Claims, CancellationToken.None);
        if (await IsOverAsync())
        {
            Leave();
        }
    }

    /// <summary>The browser says that nothing was done for the idle time.</summary>
    [JSInvokable]
    public async Task EndIdleAsync()
    {
        _hasLeft = true;
        await Keeper.EndAsync(Claims, SignInEnd.Idle, CancellationToken.None);
        Navigation.NavigateTo("account/signed-out?why=idle", forceLoad: true);
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        GC.SuppressFinalize(this);
        _line?.Dispose();
        await _gone.CancelAsync();
        await _asking;
        _gone.Dispose();
        if (_self is null)
        {
            // Never reached a browser: a static page shows the office frame for a moment while it asks who may see it.
            return;
        }
        try
        {
            await Browser.InvokeVoidAsync("caseload.stopWatchingIdle");
        }
        catch (JSDisconnectedException)
        {
            // The page is gone, and its timers with it.
        }
        _self.Dispose();
    }

    /// <summary>A sign-in that was ended through another process is noticed here.</summary>
    private async Task AskNowAndThenAsync()
    {
        using var timer = new PeriodicTimer(_askEvery, Time);
        try
        {
            while (await timer.WaitForNextTickAsync(_gone.Token))
            {
                if (await IsOverAsync())
                {
                    Leave();
                    return;
                }
                if (!_watchesIdle && _self is not null)
                {
                    await WatchIdleAsync();
                }
            }
        }
        catch (OperationCanceledException)
        {
            // The page is gone.
        }
    }

    private async Task<bool> IsOverAsync()
    {
        try
        {
            return await Keeper.FindAsync(Claims, _gone.Token) is null;
        }
        catch (Exception failure) when (DatabaseTrouble.IsBehind(failure))
        {
            // Every use case asks the store for itself; this page has nothing to show meanwhile anyway.
            return false;
        }
    }

    private void Leave()
    {
        if (!_hasLeft)
        {
            _hasLeft = true;
            Navigation.NavigateTo("account/signed-out?why=ended", forceLoad: true);
        }
    }
}
