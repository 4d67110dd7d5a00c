using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Policy;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks for the programme's settings.</summary>
public sealed record GetProgramme;

/// <summary>A clinician as the programme's page shows one.</summary>
public sealed record ClinicianRow(Guid Id, string Name, string Initials, Discipline Discipline, bool IsActive, uint RowVersion);

/// <summary>The programme's settings.</summary>
/// <param name="Name">Its name.</param>
/// <param name="TimeZoneId">Its IANA time zone.</param>
/// <param name="Policy">The numbers it set for itself.</param>
/// <param name="RowVersion">Tells whether somebody else saved meanwhile.</param>
/// <param name="Clinicians">Clinicians, those who work here first, by name.</param>
public sealed record ProgrammeSettings(
    string Name,
    string TimeZoneId,
    ReviewPolicy Policy,
    uint RowVersion,
    IReadOnlyList<ClinicianRow> Clinicians
);

/// <summary>Gets the programme's settings.</summary>
public sealed class GetProgrammeHandler(CaseloadDb db)
{
    /// <summary>The settings.</summary>
    public async Task<ProgrammeSettings> HandleAsync(Actor actor, GetProgramme request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadSettings, ct);
        var programme = await context.Programmes.AsNoTracking().SingleAsync(ct);
        var clinicians = await context
            .Clinicians.OrderByDescending(clinician => clinician.IsActive)
            .ThenBy(clinician => clinician.Name)
            .Select(clinician => new ClinicianRow(
                clinician.Id,
                clinician.Name,
                clinician.Initials,
                clinician.Discipline,
                clinician.IsActive,
                clinician.RowVersion
            ))
            .ToListAsync(ct);
        return new ProgrammeSettings(programme.Name, programme.TimeZoneId, programme.Policy, programme.RowVersion, clinicians);
    }
}
