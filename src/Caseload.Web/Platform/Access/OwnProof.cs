using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>
/// Asks a person who is signed in to prove once more who they are, before anything about their way in is changed. A failure counts like one
/// at the door, so that an unwatched tablet is no place to guess.
/// </summary>
public sealed class OwnProof(CaseloadDb db, IPasswordHasher<Person> hasher, IDataProtectionProvider protection, TimeProvider time)
{
    /// <summary>The field of the present password.</summary>
    public const string PasswordField = "current-password";

    /// <summary>The field of the authenticator's present code.</summary>
    public const string CodeField = "current-code";

    private const string Recorded = "proof-failed";

    private readonly IDataProtector _protector = protection.CreateProtector("caseload.authenticator");

    /// <summary>Begins a change of the own account; the person's row is held until it is kept or disposed.</summary>
    internal async Task<Knock> BeginAsync(Actor actor, Visitor visitor, CancellationToken ct)
    {
        // The rights are asked for as in every other use case; the account's own scope writes.
        await using (await db.EnterAsync(actor, Permission.KeepOwnAccount, ct))
        {
            return await Knock.BeginAsync(db, new PersonKey(actor.ProgrammeId, actor.PersonId), visitor, time, ct, actor.SignInId);
        }
    }

    /// <summary>Checks the present password; on a refusal the attempt is over and counted.</summary>
    internal async Task<IReadOnlyList<Refusal>> CheckPasswordAsync(Knock knock, string password, CancellationToken ct)
    {
        if (knock.Person.PasswordHash is not { } hash)
        {
            return [new Refusal(PasswordField, "You have no password. Ask your administrator for a fresh invitation to set one.")];
        }
        var verdict = hasher.VerifyHashedPassword(knock.Person, hash, PasswordRules.FormToHash(password));
        if (verdict != PasswordVerificationResult.Failed && knock.IsOpen)
        {
            return [];
        }
        await knock.RefuseAsync("password", ct, Recorded);
        return
        [
            new Refusal(
                PasswordField,
                "This is not your present password, or there were too many attempts. After five in a row wait five minutes."
            ),
        ];
    }

    /// <summary>Checks a code of the present authenticator, or a recovery code in its place; on a refusal the attempt is over and counted.</summary>
    internal async Task<IReadOnlyList<Refusal>> CheckCodeAsync(Knock knock, string code, CancellationToken ct)
    {
        var person = knock.Person;
        if (person.AuthenticatorSecret is not { } secret)
        {
            return [];
        }
        if (AuthenticatorCodes.MatchedStep(_protector.Unprotect(secret), code, time.GetUtcNow(), person.AuthenticatorLastStep) is { } step)
        {
            person.AuthenticatorLastStep = step;
            return [];
        }
        var codes = await knock.Context.RecoveryCodes.Where(row => row.PersonId == person.Id && row.UsedAt == null).ToListAsync(ct);
        if (RecoveryCodes.IndexOf(code, [.. codes.Select(row => row.CodeHash)]) is { } index)
        {
            codes[index].UsedAt = time.GetUtcNow();
            return [];
        }
        await knock.RefuseAsync("code", ct, Recorded);
        return
        [
            new Refusal(
                CodeField,
                "This code is not right, is too old, or was used before. Wait for the next one, or use a recovery code."
            ),
        ];
    }
}
