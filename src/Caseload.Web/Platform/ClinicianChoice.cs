using Caseload.Data;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform;

/// <summary>A clinician to choose or to filter by.</summary>
/// <param name="Id">The clinician.</param>
/// <param name="Name">The name.</param>
public sealed record ClinicianChoice(Guid Id, string Name);

/// <summary>Lists clinicians to choose; for handlers, inside their unit of work.</summary>
public static class ClinicianChoices
{
    /// <summary>Clinicians who work here, by name, as far as the person reads any of their children.</summary>
    public static Task<List<ClinicianChoice>> ListClinicianChoicesAsync(this CaseloadDbContext context, CancellationToken ct) =>
        context.CliniciansInReach().Select(clinician => new ClinicianChoice(clinician.Id, clinician.Name)).ToListAsync(ct);
}
