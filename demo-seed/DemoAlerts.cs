using Caseload.Data;
using Caseload.Data.Alerts;
using Caseload.Data.Programmes;
using Caseload.Data.Statuses;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Microsoft.EntityFrameworkCore;

namespace Caseload.DemoSeed;

/// <summary>Lets the last weeks go by once more, so that alerts were raised when they would have been, and some were answered.</summary>
internal static class DemoAlerts
{
    private const int Weeks = 6;

    /// <summary>Replays the weeks before a day, and the day itself, within the caller's transaction.</summary>
    /// <param name="context">The unit of work; everything is saved in it.</param>
    /// <param name="statuses">Works out statuses and raises alerts.</param>
    /// <param name="todayOn">The day that everything is relative to.</param>
    /// <param name="at">The instant of that day.</param>
    /// <param name="ct">Cancels.</param>
    internal static async Task ReplayAsync(
        CaseloadDbContext context,
        StatusProjection statuses,
        DateOnly todayOn,
        DateTimeOffset at,
        CancellationToken ct
    )
    {
        for (var week = Weeks; week >= 0; week--)
        {
            context.MoveTo(at.AddDays(-7 * week));
            await statuses.RebuildAsync(context, todayOn.AddDays(-7 * week), ct);
            if (week > 0)
            {
                await AnswerAsync(context, todayOn.AddDays(-7 * week), ct);
            }
        }
    }

    /// <summary>What the clinicians did about alerts of earlier weeks: much, and not everything.</summary>
    private static async Task AnswerAsync(CaseloadDbContext context, DateOnly on, CancellationToken ct)
    {
        var clinicians = await context.Clinicians.ToDictionaryAsync(row => row.Id, row => row.Name, ct);
        var alerts = await context
            .Alerts.Include(row => row.Child)
            .Where(row => row.State == AlertState.Open && row.RaisedOn < on && row.Child!.ClinicianId != null)
            .OrderBy(row => row.RaisedOn)
            .ThenBy(row => row.Child!.Code)
            .ThenBy(row => row.Item)
            .ThenBy(row => row.Kind)
            .ToListAsync(ct);
        foreach (var (alert, number) in alerts.Select((alert, index) => (alert, index)).Where(pair => pair.index % 4 != 3))
        {
            var who = clinicians[alert.Child!.ClinicianId!.Value];
            if (number % 4 == 2 && alert.Severity < Concern.Act)
            {
                alert.State = AlertState.SetAside;
                alert.BackOn = on.AddDays(56);
                Add(AlertStepKind.SetAside, alert.BackOn, "The family is away; we look again when they are back.");
            }
            else if (alert.Severity >= Concern.Act)
            {
                alert.State = AlertState.ActedOn;
                Add(AlertStepKind.ToldPhysician, on, "Told by telephone; will see the child this month.");
                Add(AlertStepKind.ToldFamily, on, null);
            }
            else
            {
                alert.State = AlertState.Acknowledged;
                Add(AlertStepKind.Acknowledged, null, null);
            }
            alert.AnswerBy = null;

            void Add(AlertStepKind what, DateOnly? day, string? note) =>
                context.AlertSteps.Add(
                    new AlertStep
                    {
                        ProgrammeId = alert.ProgrammeId,
                        Id = Guid.CreateVersion7(context.At),
                        ChildId = alert.ChildId,
                        AlertId = alert.Id,
                        What = what,
                        At = context.At,
                        Who = who,
                        PersonId = alert.Child.ClinicianId,
                        On = day,
                        Note = note,
                    }
                );
        }
        await context.SaveChangesAsync(ct);
        context.ChangeTracker.Clear();
    }
}
