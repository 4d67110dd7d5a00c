using Caseload.Domain;
using Caseload.Domain.Assignment;
using Caseload.Optimiser;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>Where the team lead has assignments proposed, and accepts all, some or none.</summary>
public partial class SuggestPage
{
    private readonly HashSet<Guid> _chosen = [];
    private IReadOnlyList<CoverRow> _covers = [];
    private AssignmentScope _scope = AssignmentScope.Waiting;
    private Guid? _coverId;
    private bool _needsLanguage;
    private bool _isSearching;
    private SearchProgress? _progress;
    private CancellationTokenSource? _stop;
    private SuggestedAssignments? _suggested;
    private DateOnly? _fromOn;
    private Guid _attemptId;
    private IReadOnlyList<Refusal> _refusals = [];
    private string? _saved;

    /// <summary>The time somebody is away, when the page is opened for it.</summary>
    [SupplyParameterFromQuery(Name = "away")]
    private Guid? AwayId { get; set; }

    [Inject]
    private ListCoversHandler Covers { get; set; } = default!;

    [Inject]
    private SuggestAssignmentsHandler Suggesting { get; set; } = default!;

    [Inject]
    private AcceptMovesHandler Accepting { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    /// <inheritdoc />
    protected override void Dispose(bool isDisposing)
    {
        _stop?.Cancel();
        _stop?.Dispose();
        _stop = null;
        base.Dispose(isDisposing);
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            var list = await Covers.HandleAsync(await Actors.GetAsync(ct), new ListCovers(), ct);
            _covers = [.. list.Covers.Where(cover => cover.Covering is null)];
            _fromOn = list.TodayOn;
            if (_covers.FirstOrDefault(cover => cover.Id == AwayId) is { } cover)
            {
                Cover(cover.Id);
            }
            return true;
        });

    private void Cover(Guid id) => (_scope, _coverId) = (AssignmentScope.Cover, id);

    private Task SearchAsync() =>
        RunAsync(async ct =>
        {
            Forget();
            (_isSearching, _progress, _saved) = (true, null, null);
            _stop = new CancellationTokenSource();
            try
            {
                var request = new SuggestAssignments(_scope, _coverId, _needsLanguage, new Progress<SearchProgress>(Show), _stop.Token);
                _suggested = await Suggesting.HandleAsync(await Actors.GetAsync(ct), request, ct);
                _chosen.UnionWith(_suggested?.Proposal.Moves.Select(move => move.ChildId) ?? []);
                _attemptId = Guid.CreateVersion7(Time.GetUtcNow());
                _saved = _suggested is null ? "That time is over. Look at who is away again." : null;
            }
            finally
            {
                _isSearching = false;
                _stop?.Dispose();
                _stop = null;
            }
        });

    private void Show(SearchProgress progress)
    {
        _progress = progress;
        _ = InvokeAsync(StateHasChanged);
    }

    private void StopSearch() => _stop?.Cancel();

    private void Toggle(Guid childId) => _ = _chosen.Remove(childId) || _chosen.Add(childId);

    private void Forget()
    {
        _suggested = null;
        _chosen.Clear();
        _refusals = [];
    }

    private Task AcceptAsync() =>
        RunAsync(async ct =>
        {
            IReadOnlyList<AcceptedMove> moves =
            [
                .. _suggested!
                    .Proposal.Moves.Where(move => _chosen.Contains(move.ChildId))
                    .Select(move => new AcceptedMove(move.ChildId, move.FromId, move.ToId)),
            ];
            var coverId = _suggested.Scope == AssignmentScope.Cover ? _coverId : null;
            _refusals = await Accepting.HandleAsync(await Actors.GetAsync(ct), new AcceptMoves(_attemptId, coverId, _fromOn, moves), ct);
            if (_refusals.Count == 0)
            {
                _saved = $"{TeamWords.Children(moves.Count)} {(coverId is null ? "given to their clinicians" : "covered")}.";
                Forget();
            }
        });
}
