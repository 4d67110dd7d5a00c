using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Children;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.Alerts;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Alerts;

/// <summary>Alerts as the rules leave them, put in directly, and what people do about them.</summary>
internal sealed class AlertSteps(StoreFixture store)
{
    public ChangeNotifier Notifier => store.Notifier;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    /// <summary>A child without statuses, so that no alert stands but those that a test adds.</summary>
    public async Task<Child> AddChildAsync(Actor? clinician = null, string givenName = "Given")
    {
        await using var context = store.ContextA();
        var child = await StoreFixture.AddChildAsync(context, "2026-06-01");
        (child.ClinicianId, child.GivenName) = (clinician?.ClinicianId, givenName);
        await context.SaveChangesAsync(Ct);
        return child;
    }

    /// <summary>An alert with two reasons, the second with a source. By default it waits for its answer until tomorrow.</summary>
    public async Task<Alert> AddAsync(
        Child child,
        AlertKind kind = AlertKind.Persisting,
        Concern severity = Concern.Advisory,
        string item = "moro",
        Action<Alert>? change = null
    )
    {
        await using var context = store.ContextA();
        var alert = new Alert
        {
            ProgrammeId = store.ProgrammeA,
            Id = StoreFixture.NewId(),
            ChildId = child.Id,
            Item = item,
            Kind = kind,
            Step = (short)(kind is AlertKind.Persisting or AlertKind.Late ? 1 : 0),
            Severity = severity,
            SinceOn = StoreFixture.TodayOn.AddDays(-21),
            Reasons =
                """[{"text": "Seen on 2026-11-20.", "sources": []}, {"text": "The usual deadline is past.", "sources": ["SHERRY"]}]""",
            SetKey = "published@1",
            State = AlertState.Open,
            RaisedOn = StoreFixture.TodayOn.AddDays(-2),
            RaisedAt = StoreFixture.NoonAt.AddDays(-2),
            AnswerBy = StoreFixture.NoonAt.AddDays(1),
        };
        change?.Invoke(alert);
        context.Add(alert);
        await context.SaveChangesAsync(Ct);
        return alert;
    }

    public async Task<AlertsView> ListAsync(Actor actor, ListAlerts? request = null) =>
        await new ListAlertsHandler(store.Db, store.Statuses, store.Library, store.Time).HandleAsync(
            actor,
            request ?? new ListAlerts(),
            Ct
        );

    /// <summary>The titles on the list, child by child.</summary>
    public async Task<IReadOnlyList<string>> TitlesAsync(Actor actor, ListAlerts? request = null) =>
        [.. (await ListAsync(actor, request)).Groups.SelectMany(group => group.Alerts.Select(alert => $"{group.Code}: {alert.Title}"))];

    public Task<AlertCount> CountAsync(Actor actor) => new CountAlertsHandler(store.Db).HandleAsync(actor, new CountAlerts(), Ct);

    public Task<AlertStory?> GetAsync(Actor actor, Guid id) =>
        new GetAlertHandler(store.Db, store.Library, store.Time).HandleAsync(actor, new GetAlert(id), Ct);

    public Task<AnswerAlertsOutcome> AnswerAsync(Actor actor, AlertEntry entry, params Alert[] alerts) =>
        AnswerAsync(actor, StoreFixture.NewId(), entry, alerts);

    public Task<AnswerAlertsOutcome> AnswerAsync(Actor actor, Guid attemptId, AlertEntry entry, params Alert[] alerts) =>
        new AnswerAlertsHandler(store.Db, store.Library, store.Time).HandleAsync(
            actor,
            new AnswerAlerts(attemptId, [.. alerts.Select(alert => new SeenAlert(alert.Id, alert.RowVersion))], entry),
            Ct
        );

    /// <summary>The alert as it is stored now, with its steps.</summary>
    public async Task<Alert> ReadAsync(Alert alert)
    {
        await using var context = store.ContextA();
        return await context.Alerts.AsNoTracking().Include(row => row.Steps).SingleAsync(row => row.Id == alert.Id, Ct);
    }

    public async Task<IReadOnlyList<AccessEntry>> EntriesOfAsync(Actor actor)
    {
        await using var context = store.ContextA();
        return await context
            .AccessEntries.AsNoTracking()
            .Where(entry => entry.PersonId == actor.PersonId)
            .OrderBy(entry => entry.Number)
            .ToListAsync(Ct);
    }

    public static AlertEntry Acknowledge => new(AlertAnswer.Acknowledge, null, null, null);

    public static AlertEntry Act(AlertAction action = AlertAction.ToldPhysician, int days = 0, string? note = "By telephone") =>
        new(AlertAnswer.Act, action, StoreFixture.TodayOn.AddDays(days), note);

    public static AlertEntry SetAside(int days = 14, string? note = "The family is away") =>
        new(AlertAnswer.SetAside, null, StoreFixture.TodayOn.AddDays(days), note);
}
