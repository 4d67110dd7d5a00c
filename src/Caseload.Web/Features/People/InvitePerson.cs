using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.People;

/// <summary>Makes a way in: for a new person, or for one who lost theirs.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="IsSecondFactorLost">
/// Whether what is left of the second factor is taken away, so that the person sets up a new one. Otherwise they still need it.
/// </param>
public sealed record InvitePerson(Guid PersonId, bool IsSecondFactorLost);

/// <summary>An invitation as it is shown once; only hashes of its two secrets are kept.</summary>
/// <param name="LinkSecret">The secret part of the link.</param>
/// <param name="Code">The code for paper.</param>
/// <param name="GoodUntilAt">Until when it is good, in the programme's zone.</param>
/// <param name="Email">Where the link can be sent; null when the person gave no address.</param>
/// <param name="ProgrammeName">The programme, for the slip.</param>
public sealed record InvitationSlip(string LinkSecret, string Code, DateTimeOffset GoodUntilAt, string? Email, string ProgrammeName);

/// <summary>Either an invitation or why there is none.</summary>
/// <param name="Slip">The invitation.</param>
/// <param name="Refusals">Why there is none.</param>
public sealed record InvitePersonOutcome(InvitationSlip? Slip, IReadOnlyList<Refusal> Refusals);

/// <summary>Invites people, and renews the way in of those who lost it.</summary>
public sealed class InvitePersonHandler(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Makes the invitation; older ones of the person are closed.</summary>
    public async Task<InvitePersonOutcome> HandleAsync(Actor actor, InvitePerson request, CancellationToken ct)
    {
        var now = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        if (await PeopleLocks.LockAsync(context, request.PersonId, ct) is not { } person)
        {
            return Refuse("There is no such person.");
        }
        if (person.DisabledAt is not null)
        {
            return Refuse("This person is disabled. Enable them first.");
        }
        if (person.Id == actor.PersonId)
        {
            // Else whoever finds an administrator's open screen could put their own second factor in its place.
            return Refuse("You are signed in: change your own password and second factor on your account page.");
        }

        var programme = await context.Programmes.AsNoTracking().SingleAsync(ct);
        var (link, code) = (OneTimeSecret.NewLink(), OneTimeSecret.NewCode());
        var invitation = new Invitation
        {
            ProgrammeId = actor.ProgrammeId,
            Id = Guid.CreateVersion7(now),
            PersonId = person.Id,
            LinkHash = OneTimeSecret.HashOfLink(link)!,
            CodeHash = OneTimeSecret.HashOfCode(code)!,
            CreatedAt = now,
            ExpiresAt = now.AddDays(programme.AccessPolicy.InvitationDays),
        };
        await OpenSignIns.CloseInvitationsAsync(context, person.Id, now, ct);
        context.Add(invitation);
        (person.FailureCount, person.LastFailureAt) = (0, null);
        context.Record("person-invited", null, now, new AccessDetail().With("person", person.Id).With("invitation", invitation.Id));
        var ended = request.IsSecondFactorLost ? await RemoveSecondFactorAsync(context, person, now, ct) : [];
        await context.SaveChangesAsync(ct);
        switchboard.AnnounceEnded(ended);
        return new InvitePersonOutcome(
            new InvitationSlip(
                link,
                code,
                TimeZoneInfo.ConvertTime(invitation.ExpiresAt, actor.TimeZone),
                person.Email ?? (PersonForm.IsAddress(person.SignInName) ? person.SignInName : null),
                programme.Name
            ),
            []
        );
    }

    private static async Task<IReadOnlyList<Guid>> RemoveSecondFactorAsync(
        CaseloadDbContext context,
        Person person,
        DateTimeOffset now,
        CancellationToken ct
    )
    {
        var passkeys = await context.PersonPasskeys.Where(row => row.PersonId == person.Id).ToListAsync(ct);
        var codes = await context.RecoveryCodes.Where(row => row.PersonId == person.Id).ToListAsync(ct);
        if (person.AuthenticatorSecret is null && passkeys.Count == 0 && codes.Count == 0)
        {
            return [];
        }
        (person.AuthenticatorSecret, person.AuthenticatorLastStep) = (null, null);
        context.RemoveRange(passkeys);
        context.RemoveRange(codes);
        context.Record(
            "second-factor-removed",
            null,
            now,
            new AccessDetail().With("person", person.Id).With("passkeys", passkeys.Count).With("recovery-codes", codes.Count)
        );
        return await OpenSignIns.EndAllAsync(context, person, SignInEnd.RightsChanged, now, ct);
    }

    private static InvitePersonOutcome Refuse(string message) => new(null, [new Refusal("invitation", message)]);
}
