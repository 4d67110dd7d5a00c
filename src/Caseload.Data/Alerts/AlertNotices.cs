using System.Globalization;
using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.Mail;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Alerts;

/// <summary>Announces alerts that go out at once, and those that nobody answered, in the transaction that raises them.</summary>
internal static class AlertNotices
{
    /// <summary>Writes a message for everybody who is told the same day: who is responsible for the child, who covers, the team leads.</summary>
    /// <remarks>Whoever found it is told on the screen and not once more.</remarks>
    internal static async Task AddAsync(
        CaseloadDbContext context,
        IReadOnlyCollection<(Child Child, Alert Alert)> alerts,
        ReferenceSet set,
        DateOnly onDay,
        CancellationToken ct
    )
    {
        var urgent = alerts.Where(pair => pair.Alert.Severity == Concern.SameDay).ToList();
        if (urgent.Count == 0)
        {
            return;
        }
        var readers = await AlertReaders.ReadAsync(context, onDay, ct);
        foreach (var (child, alert) in urgent)
        {
            foreach (var reader in readers.Of(child).Where(reader => reader.PersonId != context.PersonId))
            {
                Add(context, reader, child, alert, set, MessageKind.Alert);
            }
        }
    }

    /// <summary>Writes a message for the team leads about an alert that nobody answered in time.</summary>
    internal static void AddEscalation(CaseloadDbContext context, AlertReaders readers, Child child, Alert alert, ReferenceSet set)
    {
        foreach (var reader in readers.TeamLeads)
        {
            Add(context, reader, child, alert, set, MessageKind.Escalation);
        }
    }

    private static void Add(CaseloadDbContext context, AlertReader reader, Child child, Alert alert, ReferenceSet set, MessageKind kind)
    {
        var at = context.Scope.At;
        context.OutgoingMessages.Add(
            new OutgoingMessage
            {
                ProgrammeId = context.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                Key = $"{kind.ToWord()}/{alert.Id}/{alert.AnswerBy?.UtcTicks ?? 0}/{reader.PersonId}",
                Kind = kind,
                PersonId = reader.PersonId,
                Address = reader.Address,
                Subject = $"{child.Code}",
                Text = $"{alert.Kind}",
                IsOptional = false,
                CreatedAt = at,
                NextTryAt = at,
            }
        );
    }
}
