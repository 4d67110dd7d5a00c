using Caseload.Data.Children;
using Caseload.Data.Statuses;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;

namespace Caseload.Data.Alerts;

/// <summary>The rows of alerts: what raising, changing and closing mean.</summary>
internal static class AlertRows
{
    internal static Alert Raise(
        Child child,
        ChildStanding standing,
        WantedAlert wanted,
        StandingRules rules,
        DateOnly asOfOn,
        DateTimeOffset at
    ) =>
        new()
        {
            ProgrammeId = child.ProgrammeId,
            Id = Guid.CreateVersion7(at),
            ChildId = child.Id,
            Item = wanted.Item,
            Kind = wanted.Call.Kind,
            Step = wanted.Call.Step,
            Severity = wanted.Call.Severity,
            SinceOn = ItemWindow.ToDate(wanted.Call.Since),
            Reasons = AlertReason.ToJson(standing.ReasonsOf(wanted)),
            SetKey = rules.Interpreter.Set.Key,
            State = AlertState.Open,
            RaisedOn = asOfOn,
            RaisedAt = at,
            AnswerBy = at + rules.AlertPolicy.AnswerWithin(wanted.Call.Severity),
        };

    /// <summary>An alert that became worse waits for an answer again, whatever was answered before.</summary>
    private static void Restep(Alert alert, ChildStanding standing, AlertChange.Restep restep, StandingRules rules, DateTimeOffset at)
    {
        alert.Step = restep.Wanted.Call.Step;
        alert.Severity = restep.Wanted.Call.Severity;
        alert.SinceOn = ItemWindow.ToDate(restep.Wanted.Call.Since);
        alert.Reasons = AlertReason.ToJson(standing.ReasonsOf(restep.Wanted));
        alert.SetKey = rules.Interpreter.Set.Key;
        if (restep.IsWorse)
        {
            alert.State = AlertState.Open;
            alert.AnswerBy = at + rules.AlertPolicy.AnswerWithin(alert.Severity);
            alert.EscalatedAt = null;
            alert.BackOn = null;
        }
    }

    private static void Close(Alert alert, AlertChange.Close close, DateTimeOffset at)
    {
        alert.State = AlertState.Closed;
        alert.ClosedAt = at;
        alert.ClosedBecause = close.Because;
        alert.ClosingFindingId = close.FindingId;
        alert.AnswerBy = null;
        alert.BackOn = null;
    }

    /// <summary>Applies a change to an alert that stands, and notes it.</summary>
    /// <returns>Whether it became worse.</returns>
    internal static bool Apply(CaseloadDbContext context, Alert alert, ChildStanding standing, AlertChange change, StandingRules rules)
    {
        var at = context.Scope.At;
        switch (change)
        {
            case AlertChange.Restep restep:
                Restep(alert, standing, restep, rules, at);
                context.AlertSteps.Add(Step(context, alert, restep.IsWorse ? AlertStepKind.Worsened : AlertStepKind.Eased));
                return restep.IsWorse;
            case AlertChange.Close close:
                Close(alert, close, at);
                context.AlertSteps.Add(Step(context, alert, AlertStepKind.Closed));
                return false;
            default:
                throw new InvalidOperationException("An alert that is raised is added, not changed.");
        }
    }

    /// <summary>A step in the name of whom the context acts for.</summary>
    internal static AlertStep Step(CaseloadDbContext context, Alert alert, AlertStepKind what) =>
        new()
        {
            ProgrammeId = alert.ProgrammeId,
            Id = Guid.CreateVersion7(context.Scope.At),
            ChildId = alert.ChildId,
            AlertId = alert.Id,
            What = what,
            At = context.Scope.At,
            Who = context.Who,
            PersonId = context.PersonId,
        };
}
