using Caseload.Data.Access;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Ui;

/// <summary>The only base class of pages: loading with its four states, a busy guard, and cancelling with the page.</summary>
public abstract class PageBase : ComponentBase, IDisposable
{
    private readonly CancellationTokenSource _leaving = new();
    private Task _loads = Task.CompletedTask;

    [Inject]
    private FailureLog Failures { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <summary>What the page's view has.</summary>
    protected ViewStatus Status { get; private set; } = ViewStatus.Loading;

    /// <summary>The number of the last failure.</summary>
    protected string FailureReference { get; private set; } = "";

    /// <summary>Whether a command is under way; buttons are disabled meanwhile.</summary>
    protected bool IsBusy { get; private set; }

    /// <summary>What the last command failed with, for the person.</summary>
    protected string? CommandProblem { get; private set; }

    /// <summary>Cancelled when the person leaves the page.</summary>
    protected CancellationToken Leaving => _leaving.Token;

    /// <summary>Loads what the page shows; the answer says whether there is anything.</summary>
    /// <param name="load">Loads.</param>
    /// <param name="keepsShowing">Whether what is there stays while the new comes, so that typing in a search does not make the page jump.</param>
    protected Task LoadAsync(Func<CancellationToken, Task<bool>> load, bool keepsShowing = false)
    {
        // One after the other: what was asked for last is what stays.
        _loads = LoadAfterAsync(_loads, load, keepsShowing);
        return _loads;
    }

    private async Task LoadAfterAsync(Task earlier, Func<CancellationToken, Task<bool>> load, bool keepsShowing)
    {
        await earlier;
        Status = keepsShowing && Status != ViewStatus.Failed ? Status : ViewStatus.Loading;
        try
        {
            Status = await load(Leaving) ? ViewStatus.Loaded : ViewStatus.Empty;
        }
        catch (OperationCanceledException) when (_leaving.IsCancellationRequested)
        {
            // The person has left.
        }
        catch (AccessDeniedException)
        {
            Status = ViewStatus.Denied;
        }
        catch (SignInEndedException)
        {
            Navigation.NavigateTo(SignInAddress.After(Navigation), forceLoad: true);
        }
        catch (Exception failure)
        {
            FailureReference = Failures.Record(failure, GetType().Name);
            Status = ViewStatus.Failed;
        }
    }

    /// <summary>Runs a command once: a second tap meanwhile does nothing, and the guard is always lifted.</summary>
    protected async Task RunAsync(Func<CancellationToken, Task> command)
    {
        if (IsBusy)
        {
            return;
        }
        IsBusy = true;
        CommandProblem = null;
        try
        {
            await command(Leaving);
        }
        catch (OperationCanceledException) when (_leaving.IsCancellationRequested)
        {
            // The person has left.
        }
        catch (AccessDeniedException)
        {
            CommandProblem = "You may not do this, and nothing was changed. If you should, ask your team lead or administrator.";
        }
        catch (SignInEndedException)
        {
            Navigation.NavigateTo(SignInAddress.After(Navigation), forceLoad: true);
        }
        catch (Exception failure)
        {
            CommandProblem =
                $"This could not be saved, and nothing was half-saved. What you entered is still here: try again. Number for support: {Failures.Record(failure, GetType().Name)}";
        }
        finally
        {
            IsBusy = false;
        }
    }

    /// <inheritdoc />
    public void Dispose()
    {
        Dispose(true);
        GC.SuppressFinalize(this);
    }

    /// <summary>Ends what the page holds.</summary>
    protected virtual void Dispose(bool isDisposing)
    {
        if (isDisposing)
        {
            _leaving.Cancel();
            _leaving.Dispose();
        }
    }
}
