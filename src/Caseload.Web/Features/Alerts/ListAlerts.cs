using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Ages;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Alerts;

/// <summary>Which alerts are listed, by where they are in their life.</summary>
public enum AlertShow
{
    /// <summary>Those that wait for an answer.</summary>
    Open,

    /// <summary>Those that somebody has seen.</summary>
    Acknowledged,

    /// <summary>Those about which something was done.</summary>
    ActedOn,

    /// <summary>Those that come back on a day.</summary>
    SetAside,

    /// <summary>All that have not closed.</summary>
    Standing,

    /// <summary>Those that closed, of late or for one child.</summary>
    Closed,
}

/// <summary>Asks for alerts.</summary>
public sealed record ListAlerts
{
    /// <summary>Which, by where they are in their life.</summary>
    public AlertShow Show { get; init; }

    /// <summary>Whether only the person's own children count, and those the person covers today.</summary>
    public bool OnlyMine { get; init; }

    /// <summary>One clinician's children; null for all.</summary>
    public Guid? ClinicianId { get; init; }

    /// <summary>One severity; null for all.</summary>
    public Concern? Severity { get; init; }

    /// <summary>One kind; null for all.</summary>
    public AlertKind? Kind { get; init; }

    /// <summary>Part of a child's code or name.</summary>
    public string Search { get; init; } = "";

    /// <summary>One child; null for all.</summary>
    public Guid? ChildId { get; init; }

    /// <summary>Whether anything but the state narrows the list.</summary>
    public bool IsNarrowed =>
        OnlyMine || ClinicianId is not null || Severity is not null || Kind is not null || !string.IsNullOrWhiteSpace(Search);
}

/// <summary>How many alerts have these three in common.</summary>
/// <param name="State">Where they are in their life.</param>
/// <param name="Severity">How much attention they ask for.</param>
/// <param name="Kind">What they say.</param>
/// <param name="Count">How many.</param>
public sealed record AlertTally(AlertState State, Concern Severity, AlertKind Kind, int Count);

/// <summary>Alerts as the page shows them.</summary>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Groups">Children with alerts, the worst first.</param>
/// <param name="Tallies">How many there are in all, before state, severity and kind are chosen.</param>
/// <param name="Clinicians">Clinicians to filter by.</param>
/// <param name="HasMore">Whether there are more than are shown.</param>
/// <param name="CanBeMine">Whether the person reads more children than the own.</param>
public sealed record AlertsView(
    DateOnly TodayOn,
    IReadOnlyList<AlertGroup> Groups,
    IReadOnlyList<AlertTally> Tallies,
    IReadOnlyList<ClinicianChoice> Clinicians,
    bool HasMore,
    bool CanBeMine
);

/// <summary>Lists alerts, worst first, child by child.</summary>
public sealed class ListAlertsHandler(CaseloadDb db, StatusProjection projection, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>So many alerts are shown at most.</summary>
    public const int Most = 300;

    /// <summary>For so many days closed alerts are listed; a child's own are listed for good.</summary>
    public const int ClosedDays = 90;

    /// <summary>The alerts.</summary>
    public async Task<AlertsView> HandleAsync(Actor actor, ListAlerts request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await projection.RefreshDueAsync(actor.ProgrammeId, todayOn, ct);

        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        var interpreter = await library.GetActiveAsync(context, ct);
        var inScope = InScope(context, request, todayOn);
        var tallies = await inScope
            .GroupBy(row => new
            {
                row.State,
                row.Severity,
                row.Kind,
            })
            .Select(group => new AlertTally(group.Key.State, group.Key.Severity, group.Key.Kind, group.Count()))
            .ToListAsync(ct);
        var found = await Sorted(Shown(inScope, request), request.Show)
            .Take(Most + 1)
            .Select(row => new
            {
                Alert = row,
                row.Child!.Code,
                row.Child.GivenName,
                row.Child.FamilyName,
                row.Child.BornOn,
                row.Child.GestationDays,
                Clinician = row.Child.Clinician == null ? null : row.Child.Clinician.Name,
            })
            .ToListAsync(ct);
        var clinicians = await context.ListClinicianChoicesAsync(ct);
        var groups = found
            .Take(Most)
            .GroupBy(row => row.Alert.ChildId)
            .Select(group =>
            {
                var child = group.First();
                var birth = BirthFacts.Restore(child.BornOn, child.GestationDays);
                return new AlertGroup(
                    group.Key,
                    child.Code,
                    $"{child.GivenName} {child.FamilyName}",
                    Dates.Leading(ChildAges.Of(birth, todayOn < child.BornOn ? child.BornOn : todayOn, interpreter.Policy)),
                    child.Clinician,
                    [.. group.Select(row => AlertRowOf(row.Alert, interpreter, actor.TimeZone))]
                );
            })
            .ToList();
        await context.RecordLookAsync(
            "alerts-listed",
            null,
            time.GetUtcNow(),
            ct,
            new AccessDetail().WithAll("children", groups.Select(group => group.ChildId))
        );
        return new AlertsView(
            todayOn,
            groups,
            tallies,
            clinicians,
            found.Count > Most,
            context.ReadsProgramme && context.ClinicianId is not null
        );
    }

    private IQueryable<Alert> InScope(CaseloadDbContext context, ListAlerts request, DateOnly todayOn)
    {
        var closedSince = time.GetUtcNow().AddDays(-ClosedDays);
        var alerts = request.ChildId is { } childId
            ? context.Alerts.AsNoTracking().Where(row => row.ChildId == childId)
            : context.Alerts.AsNoTracking().Where(row => row.ClosedAt == null || row.ClosedAt >= closedSince);
        if (request.OnlyMine)
        {
            var me = context.ClinicianId;
            alerts = alerts.Where(row =>
                row.Child!.ClinicianId == me
                || context.Covers.Any(cover =>
                    cover.CoveringClinicianId == me
                    && cover.AbsentClinicianId == row.Child.ClinicianId
                    && (cover.ChildId == null || cover.ChildId == row.ChildId)
                    && cover.FromOn <= todayOn
                    && cover.ThroughOn >= todayOn
                )
            );
        }
        if (request.ClinicianId is { } clinicianId)
        {
            alerts = alerts.Where(row => row.Child!.ClinicianId == clinicianId);
        }
        if (!string.IsNullOrWhiteSpace(request.Search))
        {
            var pattern =
                "%"
                + request
                    .Search.Trim()
                    .Replace("\\", "\\\\", StringComparison.Ordinal)
                    .Replace("%", "\\%", StringComparison.Ordinal)
                    .Replace("_", "\\_", StringComparison.Ordinal)
                + "%";
            alerts = alerts.Where(row =>
                EF.Functions.ILike(
                    row.Child!.GivenName + " " + row.Child.FamilyName + ", " + row.Child.GivenName + " " + row.Child.Code,
                    pattern
                )
            );
        }
        return alerts;
    }

    private static IQueryable<Alert> Shown(IQueryable<Alert> alerts, ListAlerts request)
    {
        var shown = request.Show switch
        {
            AlertShow.Standing => alerts.Where(row => row.ClosedAt == null),
            AlertShow.Closed => alerts.Where(row => row.ClosedAt != null),
            _ => Of(alerts, AlertWords.StateOf(request.Show)!.Value),
        };
        return shown.Where(row =>
            (request.Severity == null || row.Severity == request.Severity) && (request.Kind == null || row.Kind == request.Kind)
        );

        static IQueryable<Alert> Of(IQueryable<Alert> alerts, AlertState state) => alerts.Where(row => row.State == state);
    }

    private static IQueryable<Alert> Sorted(IQueryable<Alert> alerts, AlertShow show) =>
        show == AlertShow.Closed
            ? alerts.OrderByDescending(row => row.ClosedAt).ThenBy(row => row.Id)
            : alerts.OrderByDescending(row => row.Severity).ThenBy(row => row.AnswerBy).ThenBy(row => row.RaisedAt).ThenBy(row => row.Id);

    private static AlertRow AlertRowOf(Alert alert, Interpreter interpreter, TimeZoneInfo zone) =>
        new(
            alert.Id,
            alert.RowVersion,
            alert.Kind,
            alert.Severity,
            alert.State,
            AlertPhrases.Title(alert.Kind, alert.Step, alert.Item, interpreter.Set),
            alert.SinceOn,
            alert.RaisedOn,
            alert.AnswerBy is { } answerBy ? ProgrammeDays.In(answerBy, zone) : null,
            alert.EscalatedAt is not null,
            alert.BackOn,
            alert.ClosedAt is { } closedAt ? DateOnly.FromDateTime(ProgrammeDays.In(closedAt, zone).DateTime) : null,
            alert.ClosedBecause
        );
}
