using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.People;

/// <summary>Adds or changes a person, lets them in, and keeps them out.</summary>
public partial class PersonPage
{
    private PersonView? _view;
    private bool _wasClinician;
    private IReadOnlyList<Refusal> _refusals = [];
    private InvitationSlip? _slip;
    private string? _notice;
    private string? _saved;
    private Guid _newId;

    /// <summary>The person; null for a new one.</summary>
    [Parameter]
    public Guid? PersonId { get; set; }

    [Inject]
    private GetPersonHandler Find { get; set; } = default!;

    [Inject]
    private SavePersonHandler Saving { get; set; } = default!;

    [Inject]
    private InvitePersonHandler Inviting { get; set; } = default!;

    [Inject]
    private DisablePersonHandler Disabling { get; set; } = default!;

    [Inject]
    private EndSignInsHandler Ending { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private TimeProvider Time { get; set; } = default!;

    private string Title => PersonId is null ? "Add a person" : _view?.Form.Name ?? "Person";

    /// <inheritdoc />
    protected override Task OnParametersSetAsync()
    {
        _newId = Guid.CreateVersion7(Time.GetUtcNow());
        (_slip, _saved) = (null, null);
        return ReloadAsync();
    }

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            await FetchAsync(ct);
            return _view is not null;
        });

    private async Task FetchAsync(CancellationToken ct)
    {
        _view = await Find.HandleAsync(await Actors.GetAsync(ct), new GetPerson(PersonId), ct);
        _wasClinician = _view?.Form.Roles.Contains(Role.Clinician) == true;
        (_refusals, _notice) = ([], null);
    }

    private void Changed(string field) => _refusals = [.. _refusals.Where(refusal => refusal.Field != field)];

    private string? ProblemAt(string field) => _refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;

    private Task SaveAsync() =>
        RunAsync(async ct =>
        {
            (_notice, _saved) = (null, null);
            var request = new SavePerson(PersonId ?? _newId, _view!.RowVersion, _view.Form);
            switch (await Saving.HandleAsync(await Actors.GetAsync(ct), request, ct))
            {
                case SavePersonOutcome.Saved when PersonId is null:
                    Navigation.NavigateTo($"people/{_newId}");
                    break;
                case SavePersonOutcome.Saved:
                    await FetchAsync(ct);
                    _saved = "Saved.";
                    break;
                case SavePersonOutcome.Refused refused:
                    _refusals = refused.Refusals;
                    _notice = "Not saved yet: see the fields marked above.";
                    break;
                case SavePersonOutcome.ChangedMeanwhile:
                    _notice =
                        "This person was changed meanwhile. Open the person again in another tab, compare, and enter your change once more.";
                    break;
            }
        });

    private Task InviteAsync(bool isSecondFactorLost) =>
        RunAsync(async ct =>
        {
            var outcome = await Inviting.HandleAsync(await Actors.GetAsync(ct), new InvitePerson(PersonId!.Value, isSecondFactorLost), ct);
            await RefreshAsync(outcome.Refusals, ct);
            _slip = outcome.Slip;
        });

    private Task DisableAsync(bool isDisabled) =>
        RunAsync(async ct =>
        {
            _slip = null;
            await RefreshAsync(
                await Disabling.HandleAsync(await Actors.GetAsync(ct), new DisablePerson(PersonId!.Value, isDisabled), ct),
                ct
            );
        });

    private Task EndAsync(Guid? signInId) =>
        RunAsync(async ct =>
        {
            await Ending.HandleAsync(await Actors.GetAsync(ct), new EndSignIns(PersonId!.Value, signInId), ct);
            await RefreshAsync([], ct);
        });

    /// <summary>Shows the new state beside what is typed and not saved yet.</summary>
    private async Task RefreshAsync(IReadOnlyList<Refusal> refusals, CancellationToken ct)
    {
        _refusals = refusals;
        if (refusals.Count == 0)
        {
            var fresh = await Find.HandleAsync(await Actors.GetAsync(ct), new GetPerson(PersonId), ct);
            _view = fresh is null ? _view : fresh with { Form = _view!.Form };
        }
    }
}
