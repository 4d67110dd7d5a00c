using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Who stands at the door, as far as the request tells.</summary>
/// <param name="Address">The network address.</param>
/// <param name="Device">The kind of browser and device.</param>
public sealed record Visitor(string Address, string Device);

/// <summary>What came of knocking.</summary>
public abstract record DoorAnswer
{
    /// <summary>Not let in. Says the same whether the name, the password or the code was wrong, or the account is locked for a while.</summary>
    public sealed record Refused : DoorAnswer;

    /// <summary>The password was right, or the identity provider knows the person; a code is needed as well.</summary>
    public sealed record NeedsCode(PersonKey Person, SignInMethod First = SignInMethod.Password) : DoorAnswer;

    /// <summary>The first factor was right; the programme asks for a second and the person has none yet.</summary>
    public sealed record NeedsSecondFactor(PersonKey Person, SignInMethod First = SignInMethod.Password) : DoorAnswer;

    /// <summary>In.</summary>
    public sealed record In(SignInClaims Claims) : DoorAnswer;
}

/// <summary>A person who paired an authenticator and is in.</summary>
/// <param name="RecoveryCodes">Codes for the day it is lost.</param>
/// <param name="Claims">The sign-in.</param>
public sealed record Paired(IReadOnlyList<string> RecoveryCodes, SignInClaims Claims);

/// <summary>Which person, in which programme.</summary>
/// <param name="ProgrammeId">The programme.</param>
/// <param name="PersonId">The person.</param>
public sealed record PersonKey(Guid ProgrammeId, Guid PersonId);

/// <summary>
/// Lets people in. Every failure counts, of whatever kind; the person's row is locked while a credential is checked, so that many attempts at
/// once are no more than many attempts in turn.
/// </summary>
public sealed class SignInDoor(CaseloadDb db, IPasswordHasher<Person> hasher, IDataProtectionProvider protection, TimeProvider time)
{
    private readonly IDataProtector _protector = protection.CreateProtector("caseload.authenticator");

    // Checked when nobody has the name, so that the answer takes as long as for somebody.
    private readonly Lazy<string> _nobodysHash = new(() => hasher.HashPassword(null!, MadePasswords.New()));

    /// <summary>Tries a name and a password.</summary>
    public async Task<DoorAnswer> TryPasswordAsync(string signInName, string password, Visitor visitor, CancellationToken ct)
    {
        var typed = PasswordRules.FormToHash(password);
        if (await FindAsync(signInName, ct) is not { } key)
        {
            hasher.VerifyHashedPassword(null!, _nobodysHash.Value, typed);
            return new DoorAnswer.Refused();
        }
        await using var knock = await KnockAsync(key, visitor, ct);
        var person = knock.Person;
        var verdict = hasher.VerifyHashedPassword(person, person.PasswordHash ?? _nobodysHash.Value, typed);
        if (person.PasswordHash is null || verdict == PasswordVerificationResult.Failed || !knock.IsOpen)
        {
            return await knock.RefuseAsync("password", ct);
        }
        if (verdict == PasswordVerificationResult.SuccessRehashNeeded)
        {
            person.PasswordHash = hasher.HashPassword(person, typed);
        }
        return await AskFurtherAsync(knock, key, SignInMethod.Password, ct);
    }

    /// <summary>
    /// Lets in who has proved at the identity provider who they are, and links the account there when its verified e-mail address is the
    /// person's. A second factor that was shown there counts; otherwise ours is asked for as after a password.
    /// </summary>
    public async Task<DoorAnswer> TryIdentityAsync(PersonKey key, ProvedIdentity identity, Visitor visitor, CancellationToken ct)
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        if (!knock.IsOpen || !await IsLinkedOrLinkAsync(knock, identity, ct))
        {
            return await knock.RefuseAsync(SignInMethod.IdentityProvider.ToWord(), ct);
        }
        return identity.HasSecondFactor
            ? await knock.LetInAsync(SignInMethod.IdentityProvider, ct)
            : await AskFurtherAsync(knock, key, SignInMethod.IdentityProvider, ct);
    }

    /// <summary>Tries a code of the authenticator, after the first factor.</summary>
    public async Task<DoorAnswer> TryCodeAsync(
        PersonKey key,
        string code,
        Visitor visitor,
        CancellationToken ct,
        SignInMethod first = SignInMethod.Password
    )
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        var person = knock.Person;
        var step =
            knock.IsOpen && person.AuthenticatorSecret is { } secret
                ? AuthenticatorCodes.MatchedStep(_protector.Unprotect(secret), code, time.GetUtcNow(), person.AuthenticatorLastStep)
                : null;
        if (step is null)
        {
            return await knock.RefuseAsync("code", ct);
        }
        person.AuthenticatorLastStep = step;
        return await knock.LetInAsync(Together(first, SignInMethod.PasswordAndCode), ct);
    }

    /// <summary>Tries a recovery code, after the first factor; it is good once.</summary>
    public async Task<DoorAnswer> TryRecoveryCodeAsync(
        PersonKey key,
        string code,
        Visitor visitor,
        CancellationToken ct,
        SignInMethod first = SignInMethod.Password
    )
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        var codes = await knock.Context.RecoveryCodes.Where(row => row.PersonId == key.PersonId && row.UsedAt == null).ToListAsync(ct);
        var index = knock.IsOpen ? RecoveryCodes.IndexOf(code, [.. codes.Select(row => row.CodeHash)]) : null;
        if (index is null)
        {
            return await knock.RefuseAsync("recovery-code", ct);
        }
        codes[index.Value].UsedAt = time.GetUtcNow();
        return await knock.LetInAsync(Together(first, SignInMethod.PasswordAndRecoveryCode), ct);
    }

    /// <summary>Lets in who has proved who they are by a passkey; locked and disabled people stay out.</summary>
    public async Task<DoorAnswer> LetInAsync(PersonKey key, SignInMethod method, Visitor visitor, CancellationToken ct)
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        return knock.IsOpen ? await knock.LetInAsync(method, ct) : await knock.RefuseAsync(method.ToWord(), ct);
    }

    /// <summary>Counts a failure that was found elsewhere: a passkey that did not prove itself.</summary>
    public async Task CountFailureAsync(PersonKey key, string what, Visitor visitor, CancellationToken ct)
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        await knock.RefuseAsync(what, ct);
    }

    /// <summary>The sign-in name of a person without an authenticator; null when there is one already.</summary>
    public async Task<string?> FindUnpairedAsync(PersonKey key, CancellationToken ct)
    {
        await using var context = db.ForFindingPeople();
        return await context
            .People.Where(person => person.Id == key.PersonId && person.AuthenticatorSecret == null)
            .Select(person => person.SignInName)
            .SingleOrDefaultAsync(ct);
    }

    /// <summary>
    /// Gives a person who is halfway in an authenticator, once its first code has shown that it works, and lets them in. Whoever has one already
    /// cannot be given another like this.
    /// </summary>
    /// <returns>The recovery codes, to be shown this once; null when the code was wrong.</returns>
    public async Task<Paired?> PairAsync(
        PersonKey key,
        string secret,
        string code,
        Visitor visitor,
        CancellationToken ct,
        SignInMethod first = SignInMethod.Password
    )
    {
        await using var knock = await KnockAsync(key, visitor, ct);
        var step =
            knock.IsOpen && knock.Person.AuthenticatorSecret is null
                ? AuthenticatorCodes.MatchedStep(secret, code, time.GetUtcNow(), lastUsedStep: null)
                : null;
        if (step is null)
        {
            await knock.RefuseAsync("code", ct);
            return null;
        }
        knock.Person.AuthenticatorSecret = _protector.Protect(secret);
        knock.Person.AuthenticatorLastStep = step;
        var codes = await ReplaceRecoveryCodesAsync(knock.Context, key, ct);
        knock.Context.Record("second-factor-added", null, time.GetUtcNow());
        var inside = (DoorAnswer.In)await knock.LetInAsync(Together(first, SignInMethod.PasswordAndCode), ct);
        return new Paired(codes, inside.Claims);
    }

    /// <summary>Fresh recovery codes in a unit of work; the old ones are good no longer.</summary>
    public async Task<IReadOnlyList<string>> ReplaceRecoveryCodesAsync(CaseloadDbContext context, PersonKey key, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await RemoveRecoveryCodesAsync(context, key, ct);
        var codes = RecoveryCodes.New();
        context.AddRange(
            codes.Select(code => new RecoveryCode
            {
                ProgrammeId = key.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                PersonId = key.PersonId,
                CodeHash = RecoveryCodes.HashOf(code)!,
            })
        );
        return codes;
    }

    /// <summary>Takes a person's recovery codes away, in a unit of work.</summary>
    public async Task RemoveRecoveryCodesAsync(CaseloadDbContext context, PersonKey key, CancellationToken ct) =>
        context.RecoveryCodes.RemoveRange(await context.RecoveryCodes.Where(row => row.PersonId == key.PersonId).ToListAsync(ct));

    /// <summary>After a right first factor: in, or on to the second.</summary>
    private static async Task<DoorAnswer> AskFurtherAsync(Knock knock, PersonKey key, SignInMethod first, CancellationToken ct)
    {
        var hasAuthenticator = knock.Person.AuthenticatorSecret is not null;
        if (!hasAuthenticator && !knock.Policy.NeedsSecondFactor(knock.Person.Roles))
        {
            return await knock.LetInAsync(first, ct);
        }
        await knock.KeepAsync(ct);
        return hasAuthenticator ? new DoorAnswer.NeedsCode(key, first) : new DoorAnswer.NeedsSecondFactor(key, first);
    }

    /// <summary>How somebody came in by two factors; the sign-ins have one word for the provider, whatever followed it.</summary>
    private static SignInMethod Together(SignInMethod first, SignInMethod both) =>
        first == SignInMethod.IdentityProvider ? SignInMethod.IdentityProvider : both;

    // Asked again with the person's row locked: of two accounts with one address that come at once, one is linked.
    private async Task<bool> IsLinkedOrLinkAsync(Knock knock, ProvedIdentity identity, CancellationToken ct)
    {
        var person = knock.Person;
        var subjects = await knock
            .Context.PersonLogins.Where(row => row.PersonId == person.Id && row.Issuer == identity.Issuer)
            .Select(row => row.Subject)
            .ToListAsync(ct);
        if (subjects.Count > 0)
        {
            return subjects.Contains(identity.Subject);
        }
        if (person.Email is null || !person.Email.Equals(identity.VerifiedEmail, StringComparison.OrdinalIgnoreCase))
        {
            return false;
        }
        var at = time.GetUtcNow();
        knock.Context.Add(
            new PersonLogin
            {
                ProgrammeId = person.ProgrammeId,
                Issuer = identity.Issuer,
                Subject = identity.Subject,
                PersonId = person.Id,
                LinkedAt = at,
            }
        );
        knock.Context.Record("identity-linked", null, at);
        return true;
    }

    private async Task<PersonKey?> FindAsync(string signInName, CancellationToken ct)
    {
        if (signInName.Length > TextLimits.Address)
        {
            return null;
        }
        var normalized = Person.Normalize(signInName);
        await using var context = db.ForFindingPeople();
        return await context
            .People.Where(person => person.NormalizedSignInName == normalized)
            .Select(person => new PersonKey(person.ProgrammeId, person.Id))
            .SingleOrDefaultAsync(ct);
    }

    private async Task<Knock> KnockAsync(PersonKey key, Visitor visitor, CancellationToken ct) =>
        await Knock.BeginAsync(db, key, visitor, time, ct);
}
