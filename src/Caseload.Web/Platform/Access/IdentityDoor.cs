using Caseload.Data;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Finds whose account at the identity provider it is, and lets them in.</summary>
public sealed class IdentityDoor(CaseloadDb db, SignInDoor door, ILogger<IdentityDoor> log)
{
    /// <summary>Tries what the provider has proved.</summary>
    /// <returns>Null when nobody here has that account.</returns>
    public async Task<DoorAnswer?> TryAsync(ProvedIdentity identity, Visitor visitor, CancellationToken ct)
    {
        if (await FindAsync(identity, ct) is { } key)
        {
            return await door.TryIdentityAsync(key, identity, visitor, ct);
        }
        log.LogWarning(
            "An account at the identity provider belongs to nobody here; its e-mail address was verified: {IsVerified}",
            identity.VerifiedEmail is not null
        );
        return null;
    }

    private async Task<PersonKey?> FindAsync(ProvedIdentity identity, CancellationToken ct)
    {
        if (identity.Issuer.Length > TextLimits.Address || identity.Subject.Length > TextLimits.Address)
        {
            return null;
        }
        await using var context = db.ForFindingPeople();
        var known = await context
            .PersonLogins.Where(row => row.Issuer == identity.Issuer && row.Subject == identity.Subject)
            .Select(row => new PersonKey(row.ProgrammeId, row.PersonId))
            .SingleOrDefaultAsync(ct);
        return known ?? await FindByEmailAsync(context, identity, ct);
    }

    /// <summary>The one person with the address. An address that several have tells nothing, whoever of them was linked already.</summary>
    private static async Task<PersonKey?> FindByEmailAsync(CaseloadDbContext context, ProvedIdentity identity, CancellationToken ct)
    {
        if (identity.VerifiedEmail is not { Length: > 0 and <= TextLimits.Address } email)
        {
            return null;
        }
        var pattern = email
            .Replace("\\", "\\\\", StringComparison.Ordinal)
            .Replace("%", "\\%", StringComparison.Ordinal)
            .Replace("_", "\\_", StringComparison.Ordinal);
        var people = await context
            .People.AsNoTracking()
            .Where(person => person.DisabledAt == null && person.Email != null && EF.Functions.ILike(person.Email, pattern, "\\"))
            .OrderBy(person => person.Id)
            .Select(person => new
            {
                Key = new PersonKey(person.ProgrammeId, person.Id),
                IsLinked = context.PersonLogins.Any(row => row.PersonId == person.Id && row.Issuer == identity.Issuer),
            })
            .Take(2)
            .ToListAsync(ct);
        return people is [{ IsLinked: false } one] ? one.Key : null;
    }
}
