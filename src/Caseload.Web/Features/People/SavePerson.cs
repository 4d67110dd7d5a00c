using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Domain;
using Caseload.Web.Platform.Access;
using Caseload.Web.Ui;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Caseload.Web.Features.People;

/// <summary>Adds or changes a person.</summary>
/// <param name="PersonId">The id; made by the page for a new person.</param>
/// <param name="RowVersion">The version the form was made from; null for a new person.</param>
/// <param name="Form">What was entered.</param>
public sealed record SavePerson(Guid PersonId, uint? RowVersion, PersonForm Form);

/// <summary>What came of it.</summary>
public abstract record SavePersonOutcome
{
    private SavePersonOutcome() { }

    /// <summary>Saved.</summary>
    public sealed record Saved : SavePersonOutcome;

    /// <summary>Refused, each at its field; nothing was saved.</summary>
    /// <param name="Refusals">Every reason.</param>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : SavePersonOutcome;

    /// <summary>Somebody else changed the person meanwhile; nothing was saved.</summary>
    public sealed record ChangedMeanwhile : SavePersonOutcome;
}

/// <summary>Adds and changes people. Nobody is deleted: records name who did what.</summary>
public sealed class SavePersonHandler(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Saves. A second tap on adding finds the first one done.</summary>
    public async Task<SavePersonOutcome> HandleAsync(Actor actor, SavePerson request, CancellationToken ct)
    {
        var check = request.Form.Check();
        if (!check.IsAccepted)
        {
            return new SavePersonOutcome.Refused(check.Refusals);
        }
        var form = check.Value;
        var roles = form.Roles.Order().ToList();
        var now = time.GetUtcNow();

        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        var administratorIds = await PeopleLocks.LockAdministratorsAsync(context, ct);
        var person = await PeopleLocks.LockAsync(context, request.PersonId, ct);
        if (person is not null && request.RowVersion is null)
        {
            return new SavePersonOutcome.Saved();
        }
        if (person?.RowVersion != request.RowVersion)
        {
            return new SavePersonOutcome.ChangedMeanwhile();
        }
        if (person is not null && RefuseLosingAdministrator(actor, administratorIds, person, roles) is { } refusal)
        {
            return new SavePersonOutcome.Refused([refusal]);
        }

        IReadOnlyList<Guid> ended = [];
        if (person is null)
        {
            person = Person.New(actor.ProgrammeId, request.PersonId, form.Name, form.SignInName, roles, now);
            context.Add(person);
            context.Record("person-added", null, now, new AccessDetail().With("person", person.Id).WithAll("roles", roles));
        }
        else
        {
            context.Record("person-edited", null, now, new AccessDetail().With("person", person.Id));
            if (!roles.SequenceEqual(person.Roles.Order()))
            {
                ended = await OpenSignIns.EndAllAsync(context, person, SignInEnd.RightsChanged, now, ct);
                context.Record("roles-changed", null, now, new AccessDetail().With("person", person.Id).WithAll("roles", roles));
            }
        }
        (person.Name, person.Roles) = (form.Name, roles);
        (person.SignInName, person.NormalizedSignInName) = (form.SignInName, Person.Normalize(form.SignInName));
        person.Email = form.Email.Length == 0 ? null : form.Email;
        await ApplyClinicianAsync(context, person, form, ct);
        return await SaveAsync(context, ended, ct);
    }

    private async Task<SavePersonOutcome> SaveAsync(CaseloadDbContext context, IReadOnlyList<Guid> ended, CancellationToken ct)
    {
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SavePersonOutcome.ChangedMeanwhile();
        }
        catch (DbUpdateException exception)
            when (exception.InnerException
                    is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation, ConstraintName: "ux_people_sign_in_name" }
            )
        {
            return new SavePersonOutcome.Refused([
                new Refusal("sign-in-name", "This sign-in name is taken. Choose another, for example with a middle initial."),
            ]);
        }
        switchboard.AnnounceEnded(ended);
        return new SavePersonOutcome.Saved();
    }

    private static Refusal? RefuseLosingAdministrator(
        Actor actor,
        IReadOnlyList<Guid> administratorIds,
        Person person,
        IReadOnlyList<Role> roles
    )
    {
        if (!person.Roles.Contains(Role.Administrator) || roles.Contains(Role.Administrator))
        {
            return null;
        }
        if (PeopleLocks.IsLastAdministrator(administratorIds, person))
        {
            return new Refusal("roles", "This is the last administrator. Give the role to somebody else first.");
        }
        return person.Id == actor.PersonId
            ? new Refusal("roles", "Nobody takes this role from themselves. Ask another administrator to do it.")
            : null;
    }

    /// <summary>A clinician's row goes with the role; without the role it stays, because findings and children name it.</summary>
    private static async Task ApplyClinicianAsync(CaseloadDbContext context, Person person, PersonForm form, CancellationToken ct)
    {
        var clinician = person.ClinicianId is { } id ? await context.Clinicians.SingleAsync(row => row.Id == id, ct) : null;
        if (clinician is null && form.IsClinician)
        {
            person.ClinicianId = person.Id;
            clinician = new Clinician
            {
                ProgrammeId = person.ProgrammeId,
                Id = person.Id,
                Name = form.Name,
                Initials = form.Initials,
                Discipline = form.Discipline,
            };
            context.Add(clinician);
        }
        if (clinician is null)
        {
            return;
        }
        clinician.Name = form.Name;
        clinician.IsActive = form.IsClinician && person.DisabledAt is null;
        if (form.IsClinician)
        {
            clinician.Initials = form.Initials;
            clinician.Discipline = form.Discipline;
            clinician.Languages = LanguageTags.Read(form.Languages, "languages").Value;
            clinician.WorkingDays = [.. PeopleWords.Week.Where(form.WorkingDays.Contains)];
        }
    }
}
