using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.People;

/// <summary>Asks who has access, for a list that can be handed out.</summary>
public sealed record GetAccessReport;

/// <summary>A person in the report.</summary>
/// <param name="Name">The name.</param>
/// <param name="Roles">The roles.</param>
/// <param name="Discipline">A clinician's discipline.</param>
/// <param name="AccountSinceOn">Since when there is an account.</param>
/// <param name="RolesSinceOn">Since when it has these roles.</param>
public sealed record AccessReportRow(
    string Name,
    IReadOnlyList<Role> Roles,
    Discipline? Discipline,
    DateOnly AccountSinceOn,
    DateOnly RolesSinceOn
);

/// <summary>Who has access on a day.</summary>
/// <param name="ProgrammeName">The programme.</param>
/// <param name="On">The day.</param>
/// <param name="Rows">Everybody who may sign in, or was invited to, by name.</param>
public sealed record AccessReport(string ProgrammeName, DateOnly On, IReadOnlyList<AccessReportRow> Rows);

/// <summary>Lists names and positions of everybody who has access.</summary>
public sealed class GetAccessReportHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The report.</summary>
    public async Task<AccessReport> HandleAsync(Actor actor, GetAccessReport request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        var programmeName = await context.Programmes.Select(programme => programme.Name).SingleAsync(ct);
        var people = await context
            .People.AsNoTracking()
            .Where(person => person.DisabledAt == null)
            .OrderBy(person => person.Name)
            .ThenBy(person => person.Id)
            .Select(person => new
            {
                person.Id,
                person.Name,
                person.Roles,
                person.CreatedAt,
                Discipline = context
                    .Clinicians.Where(clinician => clinician.Id == person.ClinicianId)
                    .Select(clinician => (Discipline?)clinician.Discipline)
                    .FirstOrDefault(),
            })
            .ToListAsync(ct);
        var changes = await context
            .AccessEntries.AsNoTracking()
            .Where(entry => entry.What == "roles-changed")
            .OrderBy(entry => entry.Number)
            .Select(entry => new { entry.At, entry.Detail })
            .ToListAsync(ct);
        var changedAt = new Dictionary<Guid, DateTimeOffset>();
        foreach (var change in changes)
        {
            changedAt[PersonIn(change.Detail)] = change.At;
        }
        return new AccessReport(
            programmeName,
            actor.TodayOn(time),
            [
                .. people.Select(person => new AccessReportRow(
                    person.Name,
                    person.Roles,
                    person.Roles.Contains(Role.Clinician) ? person.Discipline : null,
                    DayOf(person.CreatedAt),
                    DayOf(changedAt.GetValueOrDefault(person.Id, person.CreatedAt))
                )),
            ]
        );

        DateOnly DayOf(DateTimeOffset at) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, actor.TimeZone).DateTime);
    }

    private static Guid PersonIn(string detail)
    {
        using var values = JsonDocument.Parse(detail);
        return values.RootElement.GetProperty("person").GetGuid();
    }
}
