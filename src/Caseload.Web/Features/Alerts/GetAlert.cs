using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Domain.Wording;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Alerts;

/// <summary>Asks for the whole story of an alert.</summary>
/// <param name="AlertId">The alert.</param>
public sealed record GetAlert(Guid AlertId);

/// <summary>Why an alert was raised.</summary>
/// <param name="Text">The reason.</param>
/// <param name="Sources">Keys of the sources it rests on.</param>
public sealed record AlertReason(string Text, IReadOnlyList<string> Sources);

/// <summary>Something that happened to an alert.</summary>
/// <param name="What">What.</param>
/// <param name="At">When it was recorded, by the programme's clocks.</param>
/// <param name="Who">Who recorded it.</param>
/// <param name="On">The day on which it was done, or until which it is set aside.</param>
/// <param name="Note">A note or a reason.</param>
public sealed record AlertStepRow(AlertStepKind What, DateTimeOffset At, string Who, DateOnly? On, string? Note);

/// <summary>The finding that closed an alert.</summary>
/// <param name="Text">What was found, and when.</param>
/// <param name="VisitId">The visit it was found at.</param>
public sealed record ClosingFinding(string Text, Guid VisitId);

/// <summary>The whole story of an alert.</summary>
/// <param name="Id">The alert.</param>
/// <param name="ItemId">The item's id in the reference set; null when it concerns the whole child.</param>
/// <param name="RaisedAt">When it was raised, by the programme's clocks.</param>
/// <param name="Reasons">Why, as the rules said it when it was raised or last changed.</param>
/// <param name="Response">What the trade commonly does first.</param>
/// <param name="WhoIsTold">Who inside the team is told.</param>
/// <param name="Steps">What happened to it, oldest first.</param>
/// <param name="ClosedBecause">Why it closed.</param>
/// <param name="ClosedBy">The finding that closed it, when one did.</param>
public sealed record AlertStory(
    Guid Id,
    string? ItemId,
    DateTimeOffset RaisedAt,
    IReadOnlyList<AlertReason> Reasons,
    FirstResponse Response,
    string WhoIsTold,
    IReadOnlyList<AlertStepRow> Steps,
    AlertEnd? ClosedBecause,
    ClosingFinding? ClosedBy
);

/// <summary>Gets the whole story of an alert.</summary>
public sealed class GetAlertHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    private static readonly JsonSerializerOptions _json = new(JsonSerializerDefaults.Web);

    /// <summary>The story, or null when there is no such alert.</summary>
    public async Task<AlertStory?> HandleAsync(Actor actor, GetAlert request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var alert = await context
            .Alerts.AsNoTracking()
            .AsSingleQuery()
            .Include(row => row.Steps)
            .SingleOrDefaultAsync(row => row.Id == request.AlertId, ct);
        if (alert is null)
        {
            return null;
        }
        await context.RecordLookAsync("alert-opened", alert.ChildId, time.GetUtcNow(), ct, new AccessDetail().With("alert", alert.Id));
        var closing = await context.Findings.AsNoTracking().SingleOrDefaultAsync(row => row.Id == alert.ClosingFindingId, ct);
        var set = await library.GetSetAsync(context, alert.SetKey, ct);

        return new AlertStory(
            alert.Id,
            set.Find(alert.Item)?.Id,
            ProgrammeDays.In(alert.RaisedAt, actor.TimeZone),
            JsonSerializer.Deserialize<List<AlertReason>>(alert.Reasons, _json)!,
            FirstResponses.For(alert.Kind, alert.Step, alert.Severity, AlertPhrases.SignOf(alert.Kind, alert.Item)),
            AlertText.WhoIsTold(alert.Severity),
            [
                .. alert
                    .Steps.OrderBy(step => step.At)
                    .ThenBy(step => step.Id)
                    .Select(step => new AlertStepRow(step.What, ProgrammeDays.In(step.At, actor.TimeZone), step.Who, step.On, step.Note)),
            ],
            alert.ClosedBecause,
            closing is null
                ? null
                : new ClosingFinding(
                    $"{(closing.IsWithdrawal ? "Taken back" : closing.Response is { } response ? Labels.Of(response) : "Not tested")}, {Labels.Of(closing.Side).ToLowerInvariant()}, on {Dates.Full(closing.ObservedOn)}",
                    closing.VisitId
                )
        );
    }
}
