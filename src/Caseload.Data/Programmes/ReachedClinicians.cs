namespace Caseload.Data.Programmes;

/// <summary>Which clinicians there are to filter by.</summary>
public static class ReachedClinicians
{
    /// <summary>Clinicians who work here, by name, as far as the person reads any of their children.</summary>
    public static IQueryable<Clinician> CliniciansInReach(this CaseloadDbContext context)
    {
        var working = context.Clinicians.Where(clinician => clinician.IsActive);
        return (
            context.ReadsProgramme ? working : working.Where(clinician => context.Children.Any(child => child.ClinicianId == clinician.Id))
        ).OrderBy(clinician => clinician.Name);
    }
}
