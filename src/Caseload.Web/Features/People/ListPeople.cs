using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.People;

/// <summary>Asks for everybody who has an account, or had one.</summary>
public sealed record ListPeople;

/// <summary>How it stands with a person's way in.</summary>
public enum PersonStatus
{
    /// <summary>Added, and no invitation was made yet.</summary>
    NotInvited,

    /// <summary>An invitation is good.</summary>
    Invited,

    /// <summary>The invitation was not taken up in time.</summary>
    InvitationOver,

    /// <summary>Can sign in.</summary>
    Active,

    /// <summary>May not sign in.</summary>
    Disabled,
}

/// <summary>A person in the list.</summary>
/// <param name="Id">The person.</param>
/// <param name="Name">The name.</param>
/// <param name="SignInName">What they sign in with.</param>
/// <param name="Roles">What they do.</param>
/// <param name="Discipline">A clinician's discipline.</param>
/// <param name="Status">How it stands.</param>
/// <param name="InvitedThroughOn">The day until which an invitation is good.</param>
/// <param name="LastSeenOn">The day they were last at work here.</param>
public sealed record PersonRow(
    Guid Id,
    string Name,
    string SignInName,
    IReadOnlyList<Role> Roles,
    Discipline? Discipline,
    PersonStatus Status,
    DateOnly? InvitedThroughOn,
    DateOnly? LastSeenOn
);

/// <summary>Lists people by name.</summary>
public sealed class ListPeopleHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Everybody, disabled people as well.</summary>
    public async Task<IReadOnlyList<PersonRow>> HandleAsync(Actor actor, ListPeople request, CancellationToken ct)
    {
        var now = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        var people = await context
            .People.AsNoTracking()
            .OrderBy(person => person.Name)
            .ThenBy(person => person.Id)
            .Select(person => new
            {
                person.Id,
                person.Name,
                person.SignInName,
                person.Roles,
                person.DisabledAt,
                Discipline = context
                    .Clinicians.Where(clinician => clinician.Id == person.ClinicianId)
                    .Select(clinician => (Discipline?)clinician.Discipline)
                    .FirstOrDefault(),
                HasWayIn = person.PasswordHash != null
                    || context.PersonPasskeys.Any(passkey => passkey.PersonId == person.Id)
                    || context.PersonLogins.Any(login => login.PersonId == person.Id),
                InvitedUntil = context
                    .Invitations.Where(invitation => invitation.PersonId == person.Id && invitation.ClosedAt == null)
                    .Max(invitation => (DateTimeOffset?)invitation.ExpiresAt),
                LastSeenAt = context
                    .SignIns.Where(signIn => signIn.PersonId == person.Id)
                    .Max(signIn => (DateTimeOffset?)signIn.LastSeenAt),
            })
            .ToListAsync(ct);
        return
        [
            .. people.Select(person => new PersonRow(
                person.Id,
                person.Name,
                person.SignInName,
                person.Roles,
                person.Roles.Contains(Role.Clinician) ? person.Discipline : null,
                PersonStatuses.Of(person.DisabledAt, person.HasWayIn, person.InvitedUntil, now),
                person.InvitedUntil > now ? DayOf(person.InvitedUntil.Value) : null,
                person.LastSeenAt is { } seenAt ? DayOf(seenAt) : null
            )),
        ];

        DateOnly DayOf(DateTimeOffset at) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(at, actor.TimeZone).DateTime);
    }
}

/// <summary>How it stands with a way in, from what is stored.</summary>
public static class PersonStatuses
{
    /// <summary>The status.</summary>
    public static PersonStatus Of(DateTimeOffset? disabledAt, bool hasWayIn, DateTimeOffset? invitedUntil, DateTimeOffset now) =>
        disabledAt is not null ? PersonStatus.Disabled
        : hasWayIn ? PersonStatus.Active
        : invitedUntil is null ? PersonStatus.NotInvited
        : invitedUntil > now ? PersonStatus.Invited
        : PersonStatus.InvitationOver;

    /// <summary>The status in words; an invitation says until when it is good.</summary>
    public static string Words(PersonStatus status, DateOnly? invitedThroughOn) =>
        status switch
        {
            PersonStatus.NotInvited => "not invited yet",
            PersonStatus.Invited => $"invited until {Ui.Dates.Full(invitedThroughOn)}",
            PersonStatus.InvitationOver => "invitation ran out",
            PersonStatus.Active => "active",
            PersonStatus.Disabled => "disabled",
            _ => throw new ArgumentOutOfRangeException(nameof(status)),
        };
}
