using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Alerts;
using Caseload.Domain.Policy;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Alerts;

/// <summary>What the clock did.</summary>
/// <param name="CameBack">Alerts whose day to come back had come.</param>
/// <param name="Escalated">Alerts that nobody had answered in time.</param>
public readonly record struct AlertClockCounts(int CameBack, int Escalated);

/// <summary>What happens to alerts by the clock alone: those set aside come back, those not answered in time go to the team leads.</summary>
public sealed class AlertClock(CaseloadDb db, ReferenceLibrary library)
{
    private const int BatchSize = 500;

    /// <summary>Looks after a programme's alerts; two indexed queries while nothing is due.</summary>
    /// <param name="programmeId">The programme.</param>
    /// <param name="todayOn">Today in its zone.</param>
    /// <param name="policy">Its numbers.</param>
    /// <param name="ct">Cancels; what is saved until then stays.</param>
    public async Task<AlertClockCounts> RunAsync(Guid programmeId, DateOnly todayOn, AlertPolicy policy, CancellationToken ct)
    {
        var cameBack = 0;
        var escalated = 0;
        for (int count; (count = await BringBackAsync(programmeId, todayOn, policy, ct)) > 0; )
        {
            cameBack += count;
        }
        for (int count; (count = await EscalateAsync(programmeId, todayOn, policy, ct)) > 0; )
        {
            escalated += count;
        }
        return new AlertClockCounts(cameBack, escalated);
    }

    private async Task<int> BringBackAsync(Guid programmeId, DateOnly todayOn, AlertPolicy policy, CancellationToken ct)
    {
        await using var context = db.ForJob("alert-clock", programmeId);
        await context.HoldTransactionAsync(ct);
        var due = await context
            .Alerts.FromSql(
                $"""
                select *, xmin from alerts where programme_id = {programmeId} and back_on <= {todayOn}
                order by back_on limit {BatchSize} for update skip locked
                """
            )
            .ToListAsync(ct);
        foreach (var alert in due)
        {
            alert.State = AlertState.Open;
            alert.BackOn = null;
            alert.AnswerBy = context.Scope.At + policy.AnswerWithin(alert.Severity);
            alert.EscalatedAt = null;
            context.AlertSteps.Add(AlertRows.Step(context, alert, AlertStepKind.CameBack));
        }
        await context.SaveChangesAsync(ct);
        return due.Count;
    }

    private async Task<int> EscalateAsync(Guid programmeId, DateOnly todayOn, AlertPolicy policy, CancellationToken ct)
    {
        await using var context = db.ForJob("alert-clock", programmeId);
        await context.HoldTransactionAsync(ct);
        var due = await context
            .Alerts.FromSql(
                $"""
                select *, xmin from alerts where programme_id = {programmeId} and answer_by <= {context.Scope.At}
                order by answer_by limit {BatchSize} for update skip locked
                """
            )
            .ToListAsync(ct);
        if (due.Count == 0)
        {
            return 0;
        }
        var ids = due.Select(alert => alert.ChildId).Distinct().ToArray();
        var children = await context
            .Children.AsNoTracking()
            .Where(child => EF.Parameter(ids).Contains(child.Id))
            .ToDictionaryAsync(child => child.Id, ct);
        var rules = new StandingRules(await library.GetActiveAsync(context, ct), policy);
        var notices = new AlertNotices(context, rules, await AlertReaders.ReadAsync(context, todayOn, ct));
        foreach (var alert in due)
        {
            notices.Escalate(children[alert.ChildId], alert);
            alert.EscalatedAt = context.Scope.At;
            alert.AnswerBy = null;
            context.AlertSteps.Add(AlertRows.Step(context, alert, AlertStepKind.Escalated));
        }
        await context.SaveChangesAsync(ct);
        return due.Count;
    }
}
