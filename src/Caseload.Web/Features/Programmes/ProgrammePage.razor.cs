using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The programme's name, people and numbers.</summary>
public partial class ProgrammePage
{
    private ProgrammeSettings? _settings;
    private PolicyForm? _policy;
    private bool _isChangedMeanwhile;
    private IReadOnlyList<Refusal> _programmeRefusals = [];
    private IReadOnlyList<Refusal> _clinicianRefusals = [];
    private IReadOnlyList<Refusal> _policyRefusals = [];
    private string? _programmeSaved;
    private string? _clinicianSaved;
    private string? _policySaved;

    // Forms keep what is typed until they are given a new key.
    private int _fieldsKey;
    private int _cliniciansKey;

    [Inject]
    private GetProgrammeHandler Programme { get; set; } = default!;

    [Inject]
    private SaveProgrammeHandler ProgrammeSaving { get; set; } = default!;

    [Inject]
    private SaveReviewPolicyHandler PolicySaving { get; set; } = default!;

    [Inject]
    private SaveClinicianHandler ClinicianSaving { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _settings = await Programme.HandleAsync(await Actors.GetAsync(ct), new GetProgramme(), ct);
            _policy = new PolicyForm(_settings.Policy);
            _isChangedMeanwhile = false;
            _fieldsKey++;
            _cliniciansKey++;
            (_programmeRefusals, _clinicianRefusals, _policyRefusals) = ([], [], []);
            (_programmeSaved, _clinicianSaved, _policySaved) = (null, null, null);
            return true;
        });

    private Task SaveProgrammeAsync(ProgrammeFieldsForm form) =>
        RunAsync(async ct =>
        {
            (_programmeRefusals, _programmeSaved) = ([], null);
            var request = new SaveProgramme(_settings!.RowVersion, form.Name, form.TimeZoneId);
            switch (await ProgrammeSaving.HandleAsync(await Actors.GetAsync(ct), request, ct))
            {
                case SaveOutcome.Done done:
                    _settings = _settings with
                    {
                        Name = form.Name.Trim(),
                        TimeZoneId = form.TimeZoneId.Trim(),
                        RowVersion = done.RowVersion,
                    };
                    _programmeSaved = "Saved.";
                    break;
                case SaveOutcome.Refused refused:
                    _programmeRefusals = refused.Refusals;
                    break;
                case SaveOutcome.ChangedMeanwhile:
                    _isChangedMeanwhile = true;
                    break;
            }
        });

    private Task SavePolicyAsync() =>
        RunAsync(async ct =>
        {
            (_policyRefusals, _policySaved) = ([], null);
            var read = _policy!.Read();
            if (!read.IsAccepted)
            {
                _policyRefusals = read.Refusals;
                return;
            }
            switch (await PolicySaving.HandleAsync(await Actors.GetAsync(ct), new SaveReviewPolicy(_settings!.RowVersion, read.Value), ct))
            {
                case SaveOutcome.Done done:
                    _settings = _settings with { Policy = read.Value, RowVersion = done.RowVersion };
                    _policySaved = $"Saved. Statuses and dates of {Children(done.ChildCount)} were worked out anew.";
                    break;
                case SaveOutcome.Refused refused:
                    _policyRefusals = refused.Refusals;
                    break;
                case SaveOutcome.ChangedMeanwhile:
                    _isChangedMeanwhile = true;
                    break;
            }
        });

    private Task SaveClinicianAsync(SaveClinician request) =>
        RunAsync(async ct =>
        {
            (_clinicianRefusals, _clinicianSaved) = ([], null);
            var actor = await Actors.GetAsync(ct);
            switch (await ClinicianSaving.HandleAsync(actor, request, ct))
            {
                case SaveOutcome.Done:
                    var fresh = await Programme.HandleAsync(actor, new GetProgramme(), ct);
                    _settings = _settings! with { Clinicians = fresh.Clinicians };
                    _clinicianSaved = $"{request.Name.Trim()} is saved.";
                    _cliniciansKey++;
                    break;
                case SaveOutcome.Refused refused:
                    _clinicianRefusals = refused.Refusals;
                    break;
                case SaveOutcome.ChangedMeanwhile:
                    _isChangedMeanwhile = true;
                    break;
            }
        });

    private static string Children(int count) => count == 1 ? "1 child" : $"{count} children";

    private void UseDefaults()
    {
        _policy = new PolicyForm(ReviewPolicy.Default);
        (_policyRefusals, _policySaved) = ([], "The defaults are filled in and not saved yet.");
    }
}
