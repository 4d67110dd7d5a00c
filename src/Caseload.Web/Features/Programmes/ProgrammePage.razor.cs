using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Programmes;

/// <summary>The programme's name, its numbers, and its rules for signing in.</summary>
public partial class ProgrammePage
{
    private ProgrammeSettings? _settings;
    private PolicyForm? _policy;
    private AlertPolicyForm? _alerts;
    private AccessPolicyForm? _access;
    private bool _isChangedMeanwhile;
    private IReadOnlyList<Refusal> _programmeRefusals = [];
    private IReadOnlyList<Refusal> _accessRefusals = [];
    private IReadOnlyList<Refusal> _policyRefusals = [];
    private IReadOnlyList<Refusal> _alertRefusals = [];
    private string? _programmeSaved;
    private string? _accessSaved;
    private string? _policySaved;
    private string? _alertsSaved;

    // The form keeps what is typed until it is given a new key.
    private int _fieldsKey;

    [Inject]
    private GetProgrammeHandler Programme { get; set; } = default!;

    [Inject]
    private SaveProgrammeHandler ProgrammeSaving { get; set; } = default!;

    [Inject]
    private SaveReviewPolicyHandler PolicySaving { get; set; } = default!;

    [Inject]
    private SaveAlertPolicyHandler AlertsSaving { get; set; } = default!;

    [Inject]
    private SaveAccessPolicyHandler AccessSaving { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    /// <inheritdoc />
    protected override Task OnInitializedAsync() => ReloadAsync();

    private Task ReloadAsync() =>
        LoadAsync(async ct =>
        {
            _settings = await Programme.HandleAsync(await Actors.GetAsync(ct), new GetProgramme(), ct);
            _policy = new PolicyForm(_settings.Policy);
            _alerts = _settings.Alerts;
            _access = _settings.Access;
            _isChangedMeanwhile = false;
            _fieldsKey++;
            (_programmeRefusals, _accessRefusals, _policyRefusals, _alertRefusals) = ([], [], [], []);
            (_programmeSaved, _accessSaved, _policySaved, _alertsSaved) = (null, null, null, null);
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

    private Task SaveAlertsAsync() =>
        RunAsync(async ct =>
        {
            (_alertRefusals, _alertsSaved) = ([], null);
            var read = _alerts!.Read();
            if (!read.IsAccepted)
            {
                _alertRefusals = read.Refusals;
                return;
            }
            switch (await AlertsSaving.HandleAsync(await Actors.GetAsync(ct), new SaveAlertPolicy(_settings!.RowVersion, read.Value), ct))
            {
                case SaveOutcome.Done done:
                    _settings = _settings with { RowVersion = done.RowVersion };
                    _alerts = AlertPolicyForm.Of(read.Value);
                    _alertsSaved = done.ChildCount == 0 ? "Saved." : $"Saved. Alerts of {Children(done.ChildCount)} were worked out anew.";
                    break;
                case SaveOutcome.Refused refused:
                    _alertRefusals = refused.Refusals;
                    break;
                case SaveOutcome.ChangedMeanwhile:
                    _isChangedMeanwhile = true;
                    break;
            }
        });

    private Task SaveAccessAsync() =>
        RunAsync(async ct =>
        {
            (_accessRefusals, _accessSaved) = ([], null);
            switch (await AccessSaving.HandleAsync(await Actors.GetAsync(ct), new SaveAccessPolicy(_settings!.RowVersion, _access!), ct))
            {
                case SaveOutcome.Done done:
                    _settings = _settings with { RowVersion = done.RowVersion };
                    _accessSaved = "Saved.";
                    break;
                case SaveOutcome.Refused refused:
                    _accessRefusals = refused.Refusals;
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

    private void UseAlertDefaults()
    {
        _alerts = AlertPolicyForm.Defaults;
        (_alertRefusals, _alertsSaved) = ([], "The defaults are filled in and not saved yet.");
    }

    private void UseAccessDefaults()
    {
        _access = AccessPolicyForm.Defaults;
        (_accessRefusals, _accessSaved) = ([], "The defaults are filled in and not saved yet.");
    }
}
