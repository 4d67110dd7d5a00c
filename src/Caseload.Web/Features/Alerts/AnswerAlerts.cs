using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Domain.Alerts;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Alerts;

/// <summary>An alert as the person saw it.</summary>
/// <param name="Id">The alert.</param>
/// <param name="RowVersion">The version that the person saw.</param>
public sealed record SeenAlert(Guid Id, uint RowVersion);

/// <summary>Answers alerts: acknowledges them, says what was done, or sets them aside.</summary>
/// <param name="AttemptId">The attempt, made by the page: a second tap finds the first one done.</param>
/// <param name="Alerts">The alerts; all are answered, or none.</param>
/// <param name="Entry">The answer.</param>
public sealed record AnswerAlerts(Guid AttemptId, IReadOnlyList<SeenAlert> Alerts, AlertEntry Entry);

/// <summary>An alert that somebody else changed.</summary>
/// <param name="Id">The alert.</param>
/// <param name="RowVersion">Its version now.</param>
/// <param name="Text">What it says, and what happened to it by whom.</param>
public sealed record ChangedAlert(Guid Id, uint RowVersion, string Text);

/// <summary>What became of an answer.</summary>
public abstract record AnswerAlertsOutcome
{
    private AnswerAlertsOutcome() { }

    /// <summary>It is saved, now or by the first of two taps.</summary>
    public sealed record Done : AnswerAlertsOutcome;

    /// <summary>Something entered cannot be saved; nothing was.</summary>
    /// <param name="Refusals">Every reason, by field.</param>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : AnswerAlertsOutcome;

    /// <summary>Somebody else changed some of them first; nothing was saved now.</summary>
    /// <param name="Alerts">Those that changed.</param>
    public sealed record ChangedMeanwhile(IReadOnlyList<ChangedAlert> Alerts) : AnswerAlertsOutcome;

    /// <summary>Some of them are not there for this person; nothing was saved.</summary>
    public sealed record NotFound : AnswerAlertsOutcome;
}

/// <summary>Answers alerts.</summary>
public sealed class AnswerAlertsHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>Saves all of it, or nothing.</summary>
    public async Task<AnswerAlertsOutcome> HandleAsync(Actor actor, AnswerAlerts request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.AnswerAlerts, ct);
        if (await context.AccessEntries.AnyAsync(row => row.AttemptId == request.AttemptId, ct))
        {
            return new AnswerAlertsOutcome.Done();
        }
        var seen = request.Alerts.DistinctBy(alert => alert.Id).ToDictionary(alert => alert.Id, alert => alert.RowVersion);
        var ids = seen.Keys.ToArray();
        var alerts = await context.Alerts.Where(row => EF.Parameter(ids).Contains(row.Id)).OrderBy(row => row.Id).ToListAsync(ct);
        if (alerts.Count == 0 || alerts.Count < ids.Length)
        {
            return new AnswerAlertsOutcome.NotFound();
        }
        foreach (var alert in alerts)
        {
            context.DemandWriting(alert.ChildId);
        }
        if (alerts.Exists(alert => alert.RowVersion != seen[alert.Id]))
        {
            return await TellChangedAsync(context, seen, ct);
        }

        var todayOn = actor.TodayOn(time);
        var answers = alerts.ConvertAll(alert =>
            AlertLife.Answer(new AnsweredAlert(alert.State, alert.Severity, alert.RaisedOn), request.Entry, todayOn)
        );
        var refusals = answers.SelectMany(answer => answer.Refusals).Concat(RefuseLongNote(request.Entry)).Distinct().ToList();
        if (refusals.Count > 0)
        {
            return new AnswerAlertsOutcome.Refused(refusals);
        }

        foreach (var (alert, answer) in alerts.Zip(answers))
        {
            alert.State = answer.Value;
            alert.AnswerBy = null;
            alert.BackOn = answer.Value == AlertState.SetAside ? request.Entry.On : null;
            Record(context, alert, request.Entry, alert == alerts[0] ? request.AttemptId : null);
        }
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return await AnswerConflictAsync(actor, request.AttemptId, seen, ct);
        }
        catch (DbUpdateException failure)
            when (failure.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return await AnswerConflictAsync(actor, request.AttemptId, seen, ct);
        }
        return new AnswerAlertsOutcome.Done();
    }

    private void Record(CaseloadDbContext context, Alert alert, AlertEntry entry, Guid? attemptId)
    {
        var at = time.GetUtcNow();
        var isActed = entry.Answer == AlertAnswer.Act;
        var hasDay = entry.Answer != AlertAnswer.Acknowledge;
        context.Add(
            new AlertStep
            {
                ProgrammeId = alert.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                ChildId = alert.ChildId,
                AlertId = alert.Id,
                What = StepOf(entry),
                At = at,
                Who = context.Who,
                PersonId = context.PersonId,
                On = hasDay ? entry.On : null,
                Note = string.IsNullOrWhiteSpace(entry.Note) ? null : entry.Note.Trim(),
            }
        );
        var detail = new AccessDetail().With("alert", alert.Id).With("kind", alert.Kind);
        if (isActed)
        {
            detail.With("action", entry.Action!.Value);
        }
        if (hasDay)
        {
            detail.With("on", entry.On!.Value);
        }
        context.Record(
            entry.Answer switch
            {
                AlertAnswer.Acknowledge => "alert-acknowledged",
                AlertAnswer.Act => "alert-acted-on",
                _ => "alert-set-aside",
            },
            alert.ChildId,
            at,
            detail,
            attemptId
        );
    }

    private static AlertStepKind StepOf(AlertEntry entry) =>
        (entry.Answer, entry.Action) switch
        {
            (AlertAnswer.Acknowledge, _) => AlertStepKind.Acknowledged,
            (AlertAnswer.SetAside, _) => AlertStepKind.SetAside,
            (_, AlertAction.Rechecked) => AlertStepKind.Rechecked,
            (_, AlertAction.ToldFamily) => AlertStepKind.ToldFamily,
            (_, AlertAction.ToldPhysician) => AlertStepKind.ToldPhysician,
            (_, AlertAction.Referred) => AlertStepKind.Referred,
            _ => AlertStepKind.Other,
        };

    private static IEnumerable<Refusal> RefuseLongNote(AlertEntry entry) =>
        entry.Note?.Trim().Length > TextLimits.Note
            ? [new Refusal("note", $"The note may have {TextLimits.Note} characters; it has {entry.Note.Trim().Length}. Shorten it.")]
            : [];

    /// <summary>Somebody saved between our reading and our saving: the first of two taps, or another person.</summary>
    private async Task<AnswerAlertsOutcome> AnswerConflictAsync(
        Actor actor,
        Guid attemptId,
        Dictionary<Guid, uint> seen,
        CancellationToken ct
    )
    {
        await using var context = await db.EnterAsync(actor, Permission.AnswerAlerts, ct);
        return await context.AccessEntries.AnyAsync(row => row.AttemptId == attemptId, ct)
            ? new AnswerAlertsOutcome.Done()
            : await TellChangedAsync(context, seen, ct);
    }

    private async Task<AnswerAlertsOutcome> TellChangedAsync(CaseloadDbContext context, Dictionary<Guid, uint> seen, CancellationToken ct)
    {
        var interpreter = await library.GetActiveAsync(context, ct);
        var ids = seen.Keys.ToArray();
        var alerts = await context
            .Alerts.AsNoTracking()
            .AsSingleQuery()
            .Where(row => EF.Parameter(ids).Contains(row.Id))
            .Include(row => row.Steps)
            .ToListAsync(ct);
        return new AnswerAlertsOutcome.ChangedMeanwhile([
            .. alerts
                .Where(alert => alert.RowVersion != seen[alert.Id])
                .Select(alert => new ChangedAlert(
                    alert.Id,
                    alert.RowVersion,
                    AlertPhrases.Title(alert.Kind, alert.Step, alert.Item, interpreter.Set)
                        + (
                            alert.Steps.MaxBy(step => step.At) is { } last
                                ? $" ({AlertPhrases.Of(last.What).ToLowerInvariant()}, by {last.Who})"
                                : ""
                        )
                )),
        ]);
    }
}
