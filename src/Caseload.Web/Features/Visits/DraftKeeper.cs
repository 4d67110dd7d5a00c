namespace Caseload.Web.Features.Visits;

/// <summary>Sends an open visit's form to the store soon after it changed, one save at a time, until what was typed is kept.</summary>
/// <param name="time">The clock.</param>
/// <param name="save">Saves a form that knows the draft's version.</param>
/// <param name="onChanged">Told when the line for the person has changed.</param>
#pragma warning disable CA1001 // The gate's wait handle is never asked for, so there is nothing to dispose; a save under way may outlive the page.
public sealed class DraftKeeper(
    TimeProvider time,
    Func<VisitForm, uint?, CancellationToken, Task<SaveVisitDraftOutcome>> save,
    Func<Task> onChanged
)
#pragma warning restore CA1001
{
    /// <summary>How long after the last change a save begins.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(600);

    /// <summary>How long after a failed save the next attempt begins.</summary>
    public static readonly TimeSpan RetryPause = TimeSpan.FromSeconds(5);

    private readonly SemaphoreSlim _gate = new(1, 1);
    private VisitForm? _unsaved;
    private int _changeCount;
    private bool _isOver;

    /// <summary>The draft's version as last seen.</summary>
    public uint? Version { get; private set; }

    /// <summary>When it was last saved.</summary>
    public DateTimeOffset? SavedAt { get; private set; }

    /// <summary>What keeps it from being saved, for the person.</summary>
    public string? Problem { get; private set; }

    /// <summary>Whether somebody else saved the same visit in between.</summary>
    public bool IsEditedElsewhere { get; private set; }

    /// <summary>Whether something is not saved yet.</summary>
    public bool HasUnsaved => _unsaved is not null;

    /// <summary>Begins from what was loaded.</summary>
    public void Begin(uint? version, DateTimeOffset? savedAt)
    {
        Version = version;
        SavedAt = savedAt;
    }

    /// <summary>Takes over another version as known, after the person was told of it.</summary>
    public void Know(uint? version)
    {
        Version = version;
        IsEditedElsewhere = true;
    }

    /// <summary>Takes a changed form and saves it after a pause without further changes.</summary>
    public Task ChangeAsync(VisitForm form) => WaitAndSaveAsync(form, Pause);

    /// <summary>Saves at once what is not saved yet.</summary>
    public async Task FlushAsync(CancellationToken ct)
    {
        _changeCount++;
        await _gate.WaitAsync(ct);
        try
        {
            if (_unsaved is { } form && !_isOver)
            {
                await SaveAsync(form, ct);
            }
        }
        finally
        {
            _gate.Release();
        }
        await onChanged();
        if (Problem is not null && _unsaved is { } still && !_isOver)
        {
            _ = WaitAndSaveAsync(still, RetryPause);
        }
    }

    /// <summary>Waits for a save under way and saves no more: the visit is being finished.</summary>
    public async Task<IDisposable> HoldAsync(CancellationToken ct)
    {
        await _gate.WaitAsync(ct);
        return new Hold(_gate);
    }

    /// <summary>Nothing more is to be saved.</summary>
    public void End() => _isOver = true;

    private async Task WaitAndSaveAsync(VisitForm form, TimeSpan pause)
    {
        _unsaved = form;
        var mine = ++_changeCount;
        await Task.Delay(pause, time);
        if (mine == _changeCount && !_isOver)
        {
            await FlushAsync(CancellationToken.None);
        }
    }

    private async Task SaveAsync(VisitForm form, CancellationToken ct)
    {
        try
        {
            switch (await save(form, Version, ct))
            {
                case SaveVisitDraftOutcome.Saved saved:
                    Version = saved.Version;
                    SavedAt = saved.At;
                    Problem = null;
                    IsEditedElsewhere |= saved.ReplacedAnother;
                    _unsaved = ReferenceEquals(_unsaved, form) ? null : _unsaved;
                    break;
                case SaveVisitDraftOutcome.SavedElsewhere:
                    Problem = "somebody else saved at the same moment; trying again";
                    break;
                case SaveVisitDraftOutcome.NotOpen:
                    Problem = "this visit has been finished elsewhere; copy what you need, then open the page again";
                    _isOver = true;
                    break;
                default:
                    throw new InvalidOperationException("Unknown outcome.");
            }
        }
        catch (Exception failure) when (failure is not OperationCanceledException)
        {
            Problem = "the database or the network does not answer; trying again. Keep this page open";
        }
    }

    private sealed class Hold(SemaphoreSlim gate) : IDisposable
    {
        public void Dispose() => gate.Release();
    }
}
