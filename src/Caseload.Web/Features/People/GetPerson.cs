using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.People;

/// <summary>Asks for a person, or for an empty form.</summary>
/// <param name="PersonId">The person; null for a new one.</param>
public sealed record GetPerson(Guid? PersonId);

/// <summary>A sign-in that lasts.</summary>
/// <param name="Id">The sign-in.</param>
/// <param name="Device">The kind of device.</param>
/// <param name="Address">The network address.</param>
/// <param name="StartedAt">Since when, in the programme's zone.</param>
/// <param name="LastSeenAt">Last seen, in the programme's zone.</param>
public sealed record SignInRow(Guid Id, string Device, string Address, DateTimeOffset StartedAt, DateTimeOffset LastSeenAt);

/// <summary>A person as their page shows them.</summary>
/// <param name="Form">The form.</param>
/// <param name="RowVersion">The version the form was made from; null for a new person.</param>
/// <param name="Status">How it stands.</param>
/// <param name="InvitedThroughOn">The day until which an invitation is good.</param>
/// <param name="HasSecondFactor">Whether an authenticator or a passkey is set up.</param>
/// <param name="OpenChildCount">How many open cases name the person as clinician.</param>
/// <param name="IsSelf">Whether it is who looks.</param>
/// <param name="SignIns">Where the person is signed in.</param>
public sealed record PersonView(
    PersonForm Form,
    uint? RowVersion,
    PersonStatus Status,
    DateOnly? InvitedThroughOn,
    bool HasSecondFactor,
    int OpenChildCount,
    bool IsSelf,
    IReadOnlyList<SignInRow> SignIns
);

/// <summary>Gets a person.</summary>
public sealed class GetPersonHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>The person, or null when there is no such person.</summary>
    public async Task<PersonView?> HandleAsync(Actor actor, GetPerson request, CancellationToken ct)
    {
        var now = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        if (request.PersonId is not { } id)
        {
            return new PersonView(new PersonForm(), null, PersonStatus.NotInvited, null, false, 0, false, []);
        }
        if (await context.People.AsNoTracking().SingleOrDefaultAsync(row => row.Id == id, ct) is not { } person)
        {
            return null;
        }
        var clinician = await context.Clinicians.AsNoTracking().SingleOrDefaultAsync(row => row.Id == person.ClinicianId, ct);
        var passkeyCount = await context.PersonPasskeys.CountAsync(row => row.PersonId == id, ct);
        var hasLogin = await context.PersonLogins.AnyAsync(row => row.PersonId == id, ct);
        var invitedUntil = await context
            .Invitations.Where(row => row.PersonId == id && row.ClosedAt == null)
            .MaxAsync(row => (DateTimeOffset?)row.ExpiresAt, ct);
        var status = PersonStatuses.Of(
            person.DisabledAt,
            person.PasswordHash is not null || passkeyCount > 0 || hasLogin,
            invitedUntil,
            now
        );
        return new PersonView(
            FormOf(person, clinician),
            person.RowVersion,
            status,
            invitedUntil > now ? DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(invitedUntil.Value, actor.TimeZone).DateTime) : null,
            person.AuthenticatorSecret is not null || passkeyCount > 0,
            await CountOpenChildrenAsync(actor.ProgrammeId, person.ClinicianId, ct),
            id == actor.PersonId,
            await ListSignInsAsync(context, actor, id, now, ct)
        );
    }

    private static PersonForm FormOf(Data.People.Person person, Clinician? clinician) =>
        new()
        {
            Name = person.Name,
            SignInName = person.SignInName,
            Email = person.Email ?? "",
            Roles = [.. person.Roles],
            Initials = clinician?.Initials ?? "",
            Discipline = clinician?.Discipline ?? default,
            Languages = string.Join(", ", clinician?.Languages ?? []),
            WorkingDays = [.. clinician?.WorkingDays ?? Clinician.Weekdays],
        };

    /// <summary>A number is all that an administrator learns of children; it is counted apart, because they see none.</summary>
    private async Task<int> CountOpenChildrenAsync(Guid programmeId, Guid? clinicianId, CancellationToken ct)
    {
        if (clinicianId is null)
        {
            return 0;
        }
        await using var whole = db.ForJob("people", programmeId);
        return await whole.Children.CountAsync(child => child.ClinicianId == clinicianId && child.ClosedOn == null, ct);
    }

    private static async Task<IReadOnlyList<SignInRow>> ListSignInsAsync(
        CaseloadDbContext context,
        Actor actor,
        Guid personId,
        DateTimeOffset now,
        CancellationToken ct
    )
    {
        var idleMinutes = (await context.Programmes.AsNoTracking().SingleAsync(ct)).AccessPolicy.IdleMinutes;
        var seenAfter = now.AddMinutes(-idleMinutes);
        var open = await context
            .SignIns.AsNoTracking()
            .Where(row => row.PersonId == personId && row.EndedAt == null && row.ExpiresAt > now && row.LastSeenAt > seenAfter)
            .OrderByDescending(row => row.LastSeenAt)
            .ToListAsync(ct);
        return [.. open.Select(row => new SignInRow(row.Id, row.Device, row.Address, InZone(row.StartedAt), InZone(row.LastSeenAt)))];

        DateTimeOffset InZone(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, actor.TimeZone);
    }
}
