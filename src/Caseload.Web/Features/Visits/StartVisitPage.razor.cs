using Caseload.Data;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using MudBlazor;

namespace Caseload.Web.Features.Visits;

/// <summary>Opens a visit: which child, which day, who.</summary>
public partial class StartVisitPage
{
    private const string ClinicianKey = "clinician";

    private readonly Dictionary<string, string> _problems = [];
    private Actor? _actor;
    private VisitStart? _start;
    private ChildToVisitRow? _child;
    private Guid _visitId;
    private string _search = "";
    private DateOnly? _visitedOn;
    private string _clinician = "";

    /// <summary>The child, when the person comes from one.</summary>
    [SupplyParameterFromQuery(Name = "child")]
    private Guid? ChildId { get; set; }

    [Inject]
    private GetVisitStartHandler Handler { get; set; } = default!;

    [Inject]
    private StartVisitHandler Starter { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private ScreenPreferences Preferences { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private ISnackbar Messages { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        _visitId = Guid.CreateVersion7(Time.GetUtcNow());
        await ReloadAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _actor = await Actors.GetAsync(ct);
            _start = await Handler.HandleAsync(_actor, new GetVisitStart(ChildId, ""), ct);
            _visitedOn ??= _start.TodayOn;
            var remembered = _actor.ClinicianId?.ToString() ?? await Preferences.ReadAsync(ClinicianKey) ?? "";
            _clinician = _start.Clinicians.Any(clinician => clinician.Id.ToString() == remembered) ? remembered : "";
            if (ChildId is not null)
            {
                _child = _start.Children.Count == 1 ? _start.Children[0] : null;
                _start = _child is null ? await Handler.HandleAsync(_actor, new GetVisitStart(null, ""), ct) : _start;
            }
            return true;
        });

    private async Task SearchAsync(string search)
    {
        _search = search;
        var found = await Handler.HandleAsync(_actor!, new GetVisitStart(null, search), Leaving);
        if (search == _search)
        {
            _start = found;
        }
    }

    private void Choose(ChildToVisitRow child)
    {
        _child = child;
        _problems.Clear();
    }

    private async Task ChooseAnotherAsync()
    {
        _child = null;
        _search = "";
        _start = await Handler.HandleAsync(_actor!, new GetVisitStart(null, ""), Leaving);
    }

    private string? ProblemOf(string field) => _problems.GetValueOrDefault(field);

    private Task StartAsync() =>
        RunAsync(async ct =>
        {
            _problems.Clear();
            if (_visitedOn is not { } visitedOn)
            {
                _problems["visitedOn"] = "Enter the day of the visit.";
                return;
            }
            Guid? clinicianId = Guid.TryParse(_clinician, out var id) ? id : null;
            switch (await Starter.HandleAsync(_actor!, new StartVisit(_visitId, _child!.Id, visitedOn, clinicianId), ct))
            {
                case StartVisitOutcome.Started started:
                    await Preferences.SaveAsync(ClinicianKey, _clinician);
                    Navigation.NavigateTo($"visits/{started.VisitId}");
                    break;
                case StartVisitOutcome.AlreadyOpen open:
                    Messages.Add(open.Message, Severity.Info);
                    Navigation.NavigateTo($"visits/{open.VisitId}");
                    break;
                case StartVisitOutcome.Refused refused:
                    foreach (var refusal in refused.Refusals)
                    {
                        _problems.TryAdd(refusal.Field, refusal.Message);
                    }
                    break;
                default:
                    throw new InvalidOperationException("Unknown outcome.");
            }
        });
}
