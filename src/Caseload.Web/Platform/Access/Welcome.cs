using Caseload.Data;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Whom an invitation is for.</summary>
/// <param name="Person">The person.</param>
/// <param name="Name">The name.</param>
/// <param name="SignInName">What the person will type to sign in.</param>
/// <param name="Programme">The programme that invites.</param>
public sealed record Invitee(PersonKey Person, string Name, string SignInName, string Programme);

/// <summary>Receives people who come with an invitation, by its link or by the code on paper.</summary>
public sealed class Welcome(CaseloadDb db, IPasswordHasher<Person> hasher, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Whom the link or the code is for; null when it is not good, was used, replaced, or is too old.</summary>
    public async Task<Invitee?> FindAsync(string linkOrCode, CancellationToken ct)
    {
        await using var context = db.ForFindingPeople();
        if (await Good(context, linkOrCode).SingleOrDefaultAsync(ct) is not { } invitation)
        {
            return null;
        }
        return await context
            .People.Where(person => person.Id == invitation.PersonId && person.DisabledAt == null)
            .Select(person => new Invitee(
                new PersonKey(person.ProgrammeId, person.Id),
                person.Name,
                person.SignInName,
                context.Programmes.Where(programme => programme.Id == person.ProgrammeId).Select(programme => programme.Name).Single()
            ))
            .SingleOrDefaultAsync(ct);
    }

    /// <summary>Sets the password and uses the invitation up. A second factor that the person has stays and is still asked for.</summary>
    public async Task<Checked<Invitee>> AcceptAsync(string linkOrCode, string password, Visitor visitor, CancellationToken ct)
    {
        if (await FindAsync(linkOrCode, ct) is not { } invitee)
        {
            return IsOver();
        }
        var refusals = PasswordRules.Check(password, [invitee.Name, invitee.SignInName, invitee.Programme]);
        if (refusals.Count > 0)
        {
            return Checked.Refuse<Invitee>(refusals);
        }
        var at = time.GetUtcNow();
        await using var context = db.ForAccount(invitee.Person.ProgrammeId, invitee.Person.PersonId, invitee.Name, visitor.Address);
        if (await Good(context, linkOrCode).SingleOrDefaultAsync(ct) is not { } invitation)
        {
            return IsOver();
        }
        invitation.ClosedAt = at;
        var person = await context.People.SingleAsync(row => row.Id == invitee.Person.PersonId, ct);
        person.PasswordHash = hasher.HashPassword(person, PasswordRules.FormToHash(password));
        // A way in is renewed because the old one may be in other hands: whoever came in by it is out.
        var ended = await OpenSignIns.EndAllAsync(context, person, SignInEnd.RightsChanged, at, ct);
        person.FailureCount = 0;
        person.LastFailureAt = null;
        context.Record("invitation-accepted", null, at);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return IsOver();
        }
        switchboard.AnnounceEnded(ended);
        return Checked.Accept(invitee);
    }

    private IQueryable<Invitation> Good(CaseloadDbContext context, string linkOrCode)
    {
        var at = time.GetUtcNow();
        var link = OneTimeSecret.HashOfLink(linkOrCode) ?? [];
        var code = OneTimeSecret.HashOfCode(linkOrCode) ?? [];
        return context.Invitations.Where(row =>
            (row.LinkHash == link || row.CodeHash == code) && row.ClosedAt == null && row.ExpiresAt > at
        );
    }

    private static Checked<Invitee> IsOver() =>
        Checked.Refuse<Invitee>("code", "This invitation was used, replaced, or is too old. Ask your administrator for a fresh one.");
}
