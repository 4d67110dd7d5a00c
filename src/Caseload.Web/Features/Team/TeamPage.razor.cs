using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Team;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Team;

/// <summary>The team lead's desk: who waits, and each clinician's caseload.</summary>
public partial class TeamPage
{
    private readonly HashSet<Guid> _chosen = [];
    private readonly HashSet<Guid> _open = [];
    private TeamFacts? _team;
    private AssignForm _form = new();
    private IReadOnlyList<Refusal> _refusals = [];
    private Guid? _dragged;
    private Guid _attemptId;
    private string? _saved;

    [Inject]
    private GetTeamHandler Teams { get; set; } = default!;

    [Inject]
    private AssignChildrenHandler Assigning { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private IReadOnlyList<TeamChild> Chosen => [.. _team!.Children.Where(child => _chosen.Contains(child.Id))];

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            Forget();
            return true;
        });

    private Task RefetchAsync() => RunAsync(FetchAsync);

    private async Task FetchAsync(CancellationToken ct) => _team = await Teams.HandleAsync(await Actors.GetAsync(ct), new GetTeam(), ct);

    private void Forget()
    {
        _chosen.Clear();
        _refusals = [];
        _form = new AssignForm { FromOn = _team!.TodayOn };
        _attemptId = Guid.CreateVersion7(Time.GetUtcNow());
        _dragged = null;
    }

    private void Toggle(Guid childId)
    {
        _saved = null;
        _ = _chosen.Remove(childId) || _chosen.Add(childId);
    }

    private void Open(Guid clinicianId) => _ = _open.Remove(clinicianId) || _open.Add(clinicianId);

    private void Drag(Guid? childId) => _dragged = childId;

    /// <summary>Dropping chooses and proposes; what is given is only given by the button.</summary>
    private void Drop(Guid clinicianId)
    {
        if (_dragged is { } childId)
        {
            if (!_chosen.Contains(childId))
            {
                _chosen.Clear();
                _chosen.Add(childId);
            }
            (_form.ClinicianId, _form.IsNobody) = (clinicianId, false);
            _dragged = null;
        }
    }

    private Task AssignAsync() =>
        RunAsync(async ct =>
        {
            _saved = null;
            var children = Chosen;
            _refusals = await Assigning.HandleAsync(
                await Actors.GetAsync(ct),
                new AssignChildren(_attemptId, [.. children.Select(child => new ChosenChild(child.Id, child.ClinicianId))], _form),
                ct
            );
            if (_refusals.Count > 0)
            {
                return;
            }
            var name = _team!.Clinicians.FirstOrDefault(row => row.Id == _form.ClinicianId)?.Name;
            var from = _form.FromOn == _team.TodayOn ? "today" : Dates.Full(_form.FromOn);
            var count = TeamWords.Children(children.Count);
            _saved = _form.IsNobody ? $"{count} without a clinician from {from}." : $"{count} given to {name} from {from}.";
            await FetchAsync(ct);
            Forget();
        });
}
