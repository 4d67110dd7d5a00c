using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks to add or change a clinician.</summary>
/// <param name="Id">The id; made by the page for a new one.</param>
/// <param name="RowVersion">The version that the person saw; null for a new one.</param>
/// <param name="Name">The name.</param>
/// <param name="Initials">Initials for narrow columns.</param>
/// <param name="Discipline">The discipline.</param>
/// <param name="IsActive">Whether the clinician works here now.</param>
public sealed record SaveClinician(Guid Id, uint? RowVersion, string Name, string Initials, Discipline Discipline, bool IsActive);

/// <summary>Adds or changes a clinician. Nobody is deleted: findings name those who left.</summary>
public sealed class SaveClinicianHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Saves. A second tap on adding finds the first one done.</summary>
    public async Task<SaveOutcome> HandleAsync(Actor actor, SaveClinician request, CancellationToken ct)
    {
        var (name, initials) = (request.Name.Trim(), request.Initials.Trim());
        var refusals = new List<Refusal>();
        if (name.Length is 0 or > TextLimits.Name)
        {
            refusals.Add(new(nameof(request.Name), $"Give a name of 1 to {TextLimits.Name} characters."));
        }
        if (initials.Length is 0 or > TextLimits.Initials)
        {
            refusals.Add(new(nameof(request.Initials), $"Give 1 to {TextLimits.Initials} initials."));
        }
        if (refusals.Count > 0)
        {
            return new SaveOutcome.Refused(refusals);
        }

        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        var clinician = await context.Clinicians.SingleOrDefaultAsync(row => row.Id == request.Id, ct);
        if (clinician is not null && request.RowVersion is null)
        {
            return new SaveOutcome.Done(clinician.RowVersion);
        }
        if (clinician?.RowVersion != request.RowVersion)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }

        if (clinician is null)
        {
            clinician = new Clinician
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.Id,
                Name = name,
                Initials = initials,
                Discipline = request.Discipline,
                IsActive = request.IsActive,
            };
            context.Add(clinician);
        }
        clinician.Name = name;
        clinician.Initials = initials;
        clinician.Discipline = request.Discipline;
        clinician.IsActive = request.IsActive;
        context.Record("clinician-saved", null, time.GetUtcNow(), new AccessDetail().With("clinician", request.Id));
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateException exception)
            when (exception is DbUpdateConcurrencyException
                || exception.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation }
            )
        {
            return new SaveOutcome.ChangedMeanwhile();
        }
        return new SaveOutcome.Done(clinician.RowVersion);
    }
}
