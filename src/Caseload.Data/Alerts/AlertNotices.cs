using Caseload.Data.Children;
using Caseload.Data.Mail;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Data.Alerts;

/// <summary>Announces alerts that go out at once, and those that nobody answered, in the transaction that raises them.</summary>
internal sealed class AlertNotices(CaseloadDbContext context, StandingRules rules, AlertReaders readers)
{
    /// <summary>Writes a message for everybody who is told the same day: who is responsible for the child, who covers, the team leads.</summary>
    /// <remarks>Whoever found it is told on the screen and not once more.</remarks>
    internal static async Task AnnounceAsync(
        CaseloadDbContext context,
        IReadOnlyCollection<(Child Child, Alert Alert)> alerts,
        StandingRules rules,
        DateOnly onDay,
        CancellationToken ct
    )
    {
        var urgent = alerts.Where(pair => pair.Alert.Severity == Concern.SameDay).ToList();
        if (urgent.Count == 0)
        {
            return;
        }
        var notices = new AlertNotices(context, rules, await AlertReaders.ReadAsync(context, onDay, ct));
        foreach (var (child, alert) in urgent)
        {
            notices.Announce(child, alert);
        }
    }

    /// <summary>Writes a message for the team leads about an alert that nobody answered in time.</summary>
    internal void Escalate(Child child, Alert alert)
    {
        foreach (var reader in readers.TeamLeads)
        {
            Write(reader, child, alert, MessageKind.Escalation);
        }
    }

    private void Announce(Child child, Alert alert)
    {
        foreach (var reader in readers.Of(child).Where(reader => reader.PersonId != context.PersonId))
        {
            Write(reader, child, alert, MessageKind.Alert);
        }
    }

    private void Write(AlertReader reader, Child child, Alert alert, MessageKind kind)
    {
        var at = context.Scope.At;
        var isUnanswered = kind == MessageKind.Escalation;
        var name = MailName.Of(child.Code, child.GivenName, child.FamilyName, rules.AlertPolicy.MailNaming);
        var title = AlertMail.TitleOf(alert.Kind, alert.Step, alert.Item, rules.Interpreter.Set);
        var response = AlertMail.ResponseTo(alert.Kind, alert.Step, alert.Severity, alert.Item);
        context.OutgoingMessages.Add(
            new OutgoingMessage
            {
                ProgrammeId = context.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                // An alert that becomes worse, or waits anew, is announced anew: it has another time to be answered by.
                Key = $"{kind.ToWord()}/{alert.Id}/{alert.AnswerBy!.Value.ToUnixTimeSeconds()}/{reader.PersonId}",
                Kind = kind,
                PersonId = reader.PersonId,
                Address = reader.Address,
                Subject = AlertMail.Subject(name, isUnanswered),
                Text = AlertMail.Text(name, title, response, $"{OutgoingMessage.SiteMark}/children/{child.Id}", isUnanswered),
                IsOptional = false,
                CreatedAt = at,
                NextTryAt = at,
            }
        );
    }
}
