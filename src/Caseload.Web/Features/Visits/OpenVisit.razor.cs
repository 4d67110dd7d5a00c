using Caseload.Data;
using Caseload.Domain.Visits;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;
using MudBlazor;

namespace Caseload.Web.Features.Visits;

/// <summary>A visit while it is logged: the plan as cards, drafts saved as they are typed, and the finish.</summary>
public partial class OpenVisit : IAsyncDisposable
{
    private VisitForm _form = new();
    private DraftKeeper? _draft;
    private IReadOnlyList<VisitRefusal> _refusals = [];
    private VisitBoard _board = default!;
    private string? _finishProblem;
    private bool _isFinishedElsewhere;
    private Snackbar? _undoMessage;

    /// <summary>The plan and the draft.</summary>
    [Parameter, EditorRequired]
    public OpenVisitView View { get; set; } = default!;

    /// <summary>The visit.</summary>
    [Parameter, EditorRequired]
    public Guid VisitId { get; set; }

    /// <summary>The child.</summary>
    [Parameter, EditorRequired]
    public Guid ChildId { get; set; }

    /// <summary>Who acts.</summary>
    [Parameter, EditorRequired]
    public Actor Actor { get; set; } = default!;

    /// <summary>Raised when the visit is finished.</summary>
    [Parameter]
    public EventCallback OnFinished { get; set; }

    [Inject]
    private SaveVisitDraftHandler SaveDraft { get; set; } = default!;

    [Inject]
    private FinishVisitHandler Finish { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    [Inject]
    private IDialogService Dialogs { get; set; } = default!;

    [Inject]
    private ISnackbar Messages { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private DraftKeeper Draft => _draft!;

    private string DraftLine =>
        Draft.Problem is { } problem ? "Not saved yet: " + problem
        : Draft.HasUnsaved ? "Saving…"
        : Draft.SavedAt is { } at ? "Draft saved " + VisitWords.Time(at, Actor.TimeZone)
        : "Saved as you go";

    /// <inheritdoc />
    protected override void OnInitialized()
    {
        _form = View.Form;
        _draft = new DraftKeeper(
            Time,
            (form, version, ct) => SaveDraft.HandleAsync(Actor, new SaveVisitDraft(VisitId, form, version), ct),
            () => InvokeAsync(StateHasChanged)
        );
        _draft.Begin(View.DraftVersion, View.DraftAt);
        LayOut();
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        if (Draft.HasUnsaved)
        {
            // The person leaves within the pause; what was typed is kept all the same.
            await Draft.FlushAsync(CancellationToken.None);
        }
        Draft.End();
        if (_undoMessage is not null)
        {
            Messages.Remove(_undoMessage);
        }
        Dispose();
        GC.SuppressFinalize(this);
    }

    private void LayOut() => _board = new VisitBoard(View, _form, _refusals);

    private ValueTask ScrollToAsync(string id) => Browser.InvokeVoidAsync("caseload.scrollTo", Leaving, id);

    private Task ChangeAsync(VisitForm form)
    {
        _form = form;
        LayOut();
        _ = Draft.ChangeAsync(form);
        return Task.CompletedTask;
    }

    private async Task ChangeEntryAsync(EntryForm entry)
    {
        var wasFolded = _form.EntryOf(entry.Item).IsFolded;
        _refusals = [.. _refusals.Where(refusal => refusal.Item != entry.Item)];
        await ChangeAsync(_form.With(entry.WithIds(() => Guid.CreateVersion7(Time.GetUtcNow()))));
        if (entry.IsFolded && !wasFolded)
        {
            await Draft.FlushAsync(Leaving);
            await ScrollToAsync(_board.NextAfter(entry.Item) is { } next ? $"check-{next}" : "finish-visit");
        }
    }

    private async Task UndoAsync(VisitCard card)
    {
        await ChangeAsync(_form.With(card.Entry.Cleared()));
        _undoMessage = Messages.Add(
            $"{card.Check.Item.Name} cleared",
            Severity.Normal,
            message =>
            {
                message.Action = "Put it back";
                message.OnClick = _ => InvokeAsync(() => ChangeAsync(_form.With(card.Entry)));
            }
        );
    }

    private async Task AddAsync(string item)
    {
        var check = View.Checks[item];
        if (check.RuledOutBy is not null)
        {
            var parameters = new DialogParameters<ReviewExclusionDialog> { { dialog => dialog.Check, check } };
            var dialog = await Dialogs.ShowAsync<ReviewExclusionDialog>(null, parameters);
            if (await dialog.Result is not { Canceled: false })
            {
                return;
            }
        }
        await ChangeAsync(_form.WithAdded(new AddedItem(item, check.RuledOutBy)));
        StateHasChanged();
        await ScrollToAsync($"check-{item}");
    }

    private Task FinishAsync() =>
        RunAsync(async ct =>
        {
            if (_isFinishedElsewhere)
            {
                await OnFinished.InvokeAsync();
                return;
            }
            (_refusals, _finishProblem) = ([], null);
            using var hold = await Draft.HoldAsync(ct);
            switch (await Finish.HandleAsync(Actor, new FinishVisit(VisitId, _form, Draft.Version), ct))
            {
                case FinishVisitOutcome.Refused refused:
                    _refusals = refused.Refusals;
                    _finishProblem = "Not finished. Put right what is marked above; everything you entered is still here.";
                    break;
                case FinishVisitOutcome.ChangedElsewhere changed:
                    Draft.Know(changed.DraftVersion);
                    _finishProblem =
                        "This visit was also edited on another tablet. Compare the two; finish again to keep what stands here.";
                    break;
                case FinishVisitOutcome.AlreadyFinished { HoldsAll: false }:
                    Draft.End();
                    _isFinishedElsewhere = true;
                    _finishProblem =
                        "This visit was finished on another tablet, without what stands here. Note what is missing there, then open it.";
                    break;
                default:
                    Draft.End();
                    await OnFinished.InvokeAsync();
                    break;
            }
            LayOut();
        });
}
