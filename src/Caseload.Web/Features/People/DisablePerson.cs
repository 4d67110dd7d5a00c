using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.People;

/// <summary>Keeps a person from signing in, or lets them again.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="IsDisabled">Whether they may not sign in.</param>
public sealed record DisablePerson(Guid PersonId, bool IsDisabled);

/// <summary>Disables and enables people. Nothing is deleted.</summary>
public sealed class DisablePersonHandler(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, DisablePerson request, CancellationToken ct)
    {
        var now = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        var administratorIds = await PeopleLocks.LockAdministratorsAsync(context, ct);
        if (await PeopleLocks.LockAsync(context, request.PersonId, ct) is not { } person)
        {
            return [new Refusal("person", "There is no such person.")];
        }
        if (person.DisabledAt is not null == request.IsDisabled)
        {
            return [];
        }
        if (request.IsDisabled && PeopleLocks.IsLastAdministrator(administratorIds, person))
        {
            return [new Refusal("disable", "This is the last administrator. Give the role to somebody else first.")];
        }
        if (request.IsDisabled && person.Id == actor.PersonId)
        {
            return [new Refusal("disable", "Nobody disables themselves. Ask another administrator to do it.")];
        }

        IReadOnlyList<Guid> ended = [];
        person.DisabledAt = request.IsDisabled ? now : null;
        if (request.IsDisabled)
        {
            ended = await OpenSignIns.EndAllAsync(context, person, SignInEnd.Disabled, now, ct);
            await OpenSignIns.CloseInvitationsAsync(context, person.Id, now, ct);
        }
        if (person.ClinicianId is { } clinicianId)
        {
            var clinician = await context.Clinicians.SingleAsync(row => row.Id == clinicianId, ct);
            clinician.IsActive = !request.IsDisabled && person.Roles.Contains(Role.Clinician);
        }
        context.Record(
            request.IsDisabled ? "person-disabled" : "person-enabled",
            null,
            now,
            new AccessDetail().With("person", person.Id).With("ended-sign-ins", ended.Count)
        );
        await context.SaveChangesAsync(ct);
        switchboard.AnnounceEnded(ended);
        return [];
    }
}
