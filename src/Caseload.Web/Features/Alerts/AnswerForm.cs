using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Web.Features.Alerts;

/// <summary>An answer while it is being entered. It outlives a refusal, a failure and the lines it was begun at.</summary>
public sealed class AnswerForm
{
    private readonly Dictionary<Guid, uint> _versions;

    /// <summary>Begins an answer.</summary>
    /// <param name="answer">The kind of answer.</param>
    /// <param name="alerts">The alerts; at least one.</param>
    /// <param name="attemptId">The attempt; the same however often it is sent.</param>
    /// <param name="todayOn">Today in the programme's zone.</param>
    public AnswerForm(AlertAnswer answer, IReadOnlyList<AlertRow> alerts, Guid attemptId, DateOnly todayOn)
    {
        Answer = answer;
        AttemptId = attemptId;
        _versions = alerts.ToDictionary(alert => alert.Id, alert => alert.RowVersion);
        AlertId = alerts.Count == 1 ? alerts[0].Id : null;
        Subject = alerts.Count == 1 ? alerts[0].Title : AlertWords.Count(alerts.Count);
        MostDays = alerts.Min(alert => AlertLife.MostDaysAsideFor(alert.Severity));
        HasSameDay = alerts.Any(alert => alert.Severity == Concern.SameDay);
        On = answer == AlertAnswer.Act ? todayOn : null;
    }

    /// <summary>The kind of answer.</summary>
    public AlertAnswer Answer { get; }

    /// <summary>The attempt.</summary>
    public Guid AttemptId { get; }

    /// <summary>The alert, when it is one.</summary>
    public Guid? AlertId { get; }

    /// <summary>What is answered, in words.</summary>
    public string Subject { get; }

    /// <summary>For how many days they may be set aside.</summary>
    public int MostDays { get; }

    /// <summary>Whether one of them is a same-day alert.</summary>
    public bool HasSameDay { get; }

    /// <summary>The alerts.</summary>
    public IEnumerable<Guid> AlertIds => _versions.Keys;

    /// <summary>What was done.</summary>
    public AlertAction? Action { get; set; }

    /// <summary>The day on which it was done, or on which it comes back.</summary>
    public DateOnly? On { get; set; }

    /// <summary>A note, or the reason.</summary>
    public string Note { get; set; } = "";

    /// <summary>What the last try was refused for, by field.</summary>
    public IReadOnlyList<Refusal> Refusals { get; private set; } = [];

    /// <summary>What the last try was refused for as a whole.</summary>
    public string? Problem { get; private set; }

    /// <summary>The command.</summary>
    public AnswerAlerts ToRequest() =>
        new(
            AttemptId,
            [.. _versions.Select(pair => new SeenAlert(pair.Key, pair.Value))],
            new AlertEntry(Answer, Action, On, string.IsNullOrWhiteSpace(Note) ? null : Note.Trim())
        );

    /// <summary>Takes in why it was not saved. What was entered stays.</summary>
    public void Take(AnswerAlertsOutcome outcome)
    {
        (Refusals, Problem) = outcome switch
        {
            AnswerAlertsOutcome.Refused refused => (
                refused.Refusals,
                refused.Refusals.FirstOrDefault(refusal => refusal.Field == "answer")?.Message
            ),
            AnswerAlertsOutcome.ChangedMeanwhile changed => (
                [],
                $"Changed meanwhile: {string.Join("; ", changed.Alerts.Select(alert => alert.Text))}. Nothing was saved. Look at it, then answer again if it still needs you."
            ),
            AnswerAlertsOutcome.NotFound => ([], "This is no longer open to you, and nothing was saved."),
            _ => ((IReadOnlyList<Refusal>)[], (string?)null),
        };
        if (outcome is AnswerAlertsOutcome.ChangedMeanwhile { Alerts: var known })
        {
            foreach (var alert in known)
            {
                _versions[alert.Id] = alert.RowVersion;
            }
        }
    }

    /// <summary>What a field was refused for.</summary>
    public string? ProblemOf(string field) => Refusals.FirstOrDefault(refusal => refusal.Field == field)?.Message;
}
