using Caseload.Domain.Alerts;
using Caseload.Web.Ui;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.Alerts;

/// <summary>What is done about the alerts of the list.</summary>
public partial class AlertBoard
{
    [Inject]
    private GetAlertHandler Get { get; set; } = default!;

    [Inject]
    private AnswerAlertsHandler Answer { get; set; } = default!;

    private Task TapAsync(AlertTap tap)
    {
        _desk.GoTo(tap.Alert.Id);
        switch (tap.Kind)
        {
            case AlertTapKind.Open:
                return OpenAsync(tap.Alert);
            case AlertTapKind.Select:
                _desk.Select(tap.Alert.Id);
                return Task.CompletedTask;
            case AlertTapKind.Acknowledge:
                return AnswerAsync(AlertAnswer.Acknowledge, [tap.Alert]);
            case AlertTapKind.Act:
                return AnswerAsync(AlertAnswer.Act, [tap.Alert]);
            case AlertTapKind.SetAside:
                return AnswerAsync(AlertAnswer.SetAside, [tap.Alert]);
            default:
                return Task.CompletedTask;
        }
    }

    private Task OpenAsync(AlertRow alert)
    {
        if (_desk.Story?.Id == alert.Id)
        {
            _desk.Story = null;
            return Task.CompletedTask;
        }
        return TellAsync(alert.Id);
    }

    private Task TellAsync(Guid id) =>
        RunAsync(async ct => _desk.Story = await Get.HandleAsync(await Actors.GetAsync(ct), new GetAlert(id), ct));

    /// <summary>Acknowledging needs nothing more and is saved at once, beside an answer half typed; the others are entered first.</summary>
    private Task AnswerAsync(AlertAnswer answer, IReadOnlyList<AlertRow> alerts)
    {
        var form = new AnswerForm(answer, alerts, Guid.CreateVersion7(Time.GetUtcNow()), _desk.View.TodayOn);
        if (answer == AlertAnswer.Acknowledge)
        {
            return SaveAsync(form);
        }
        _desk.Form = form;
        return Task.CompletedTask;
    }

    private Task SubmitAsync() => SaveAsync(_desk.Form!);

    private async Task SaveAsync(AnswerForm form)
    {
        AnswerAlertsOutcome? outcome = null;
        var line = _desk.Rows.TakeWhile(row => !form.AlertIds.Contains(row.Id)).Count();
        (_said, _problem) = (null, null);
        await RunAsync(async ct => outcome = await Answer.HandleAsync(await Actors.GetAsync(ct), form.ToRequest(), ct));
        if (outcome is null)
        {
            return;
        }
        form.Take(outcome);
        if (outcome is AnswerAlertsOutcome.Done)
        {
            _said = SaidOf(form);
            _desk.Form = _desk.Form == form ? null : _desk.Form;
            _desk.SelectNone();
        }
        else if (_desk.Form != form)
        {
            _problem = form.Problem;
        }
        if (outcome is not AnswerAlertsOutcome.Refused)
        {
            await LoadAsync(FetchAsync, keepsShowing: true);
        }
        if (outcome is AnswerAlertsOutcome.Done)
        {
            if (_desk.Story is { } story && form.AlertIds.Contains(story.Id))
            {
                await TellAsync(story.Id);
            }
            await FocusAsync(_desk.LineAt(line));
        }
    }

    private Task CancelAsync()
    {
        _desk.Form = null;
        return FocusAsync(_desk.Current);
    }

    private async Task FocusAsync(AlertRow? alert)
    {
        if (alert is not null)
        {
            _desk.GoTo(alert.Id);
            await Browser.InvokeVoidAsync("caseload.focus", Leaving, $"alert-{alert.Id}");
        }
    }

    private async Task ToggleKeysAsync()
    {
        _showsKeys = !_showsKeys;
        if (_showsKeys)
        {
            await FocusAsync(_desk.Current ?? _desk.LineAt(0));
        }
    }

    private static string SaidOf(AnswerForm form) =>
        form.Answer switch
        {
            AlertAnswer.Acknowledge => $"Acknowledged: {form.Subject}.",
            AlertAnswer.Act => $"Saved what was done: {form.Subject}.",
            _ => $"Set aside until {Dates.Full(form.On)}: {form.Subject}.",
        };
}
