using Caseload.Data.Access;
using Caseload.Data.Children;
using Caseload.Data.People;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Data.Alerts;

/// <summary>Somebody who is told of alerts.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="Address">Where mail reaches them.</param>
/// <param name="ClinicianId">The clinician, when the person is one.</param>
/// <param name="IsTeamLead">Whether the person leads the team.</param>
internal sealed record AlertReader(Guid PersonId, string Address, Guid? ClinicianId, bool IsTeamLead);

/// <summary>Who is told of alerts on a day.</summary>
internal sealed class AlertReaders
{
    private readonly IReadOnlyList<AlertReader> _readers;
    private readonly CoversOnDay _covers;

    private AlertReaders(IReadOnlyList<AlertReader> readers, CoversOnDay covers)
    {
        _readers = readers;
        _covers = covers;
    }

    /// <summary>The team leads.</summary>
    internal IEnumerable<AlertReader> TeamLeads => _readers.Where(reader => reader.IsTeamLead);

    /// <summary>People who can be reached by mail, and who covers whom on the day.</summary>
    internal static async Task<AlertReaders> ReadAsync(CaseloadDbContext context, DateOnly onDay, CancellationToken ct)
    {
        var people = await context
            .People.AsNoTracking()
            .Where(person => person.DisabledAt == null && person.Email != null)
            .Select(person => new
            {
                person.Id,
                person.Email,
                person.ClinicianId,
                person.Roles,
            })
            .ToListAsync(ct);
        var covers = await CoversOnDay.ReadAsync(context, onDay, ct);
        return new AlertReaders(
            [
                .. people.Select(person => new AlertReader(
                    person.Id,
                    person.Email!,
                    person.Roles.Contains(Role.Clinician) ? person.ClinicianId : null,
                    person.Roles.Contains(Role.TeamLead)
                )),
            ],
            covers
        );
    }

    /// <summary>Who is told of a child: who is responsible, who covers, the team leads.</summary>
    internal IEnumerable<AlertReader> Of(Child child) =>
        _readers.Where(reader => reader.IsTeamLead || (reader.ClinicianId is { } clinicianId && IsFor(child, clinicianId)));

    private bool IsFor(Child child, Guid clinicianId) =>
        child.ClinicianId is { } responsibleId
        && (responsibleId == clinicianId || _covers.IsCoveredBy(child.Id, responsibleId, clinicianId));
}
