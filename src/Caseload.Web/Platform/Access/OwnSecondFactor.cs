using Caseload.Data;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.DataProtection;

namespace Caseload.Web.Platform.Access;

/// <summary>Pairs, replaces and removes the own authenticator, and makes fresh recovery codes. Needs the password each time.</summary>
public sealed class OwnSecondFactor(
    OwnProof proof,
    SignInDoor door,
    IDataProtectionProvider protection,
    SignInSwitchboard switchboard,
    TimeProvider time
)
{
    /// <summary>The field of the new authenticator's code.</summary>
    public const string NewCodeField = "new-code";

    private readonly IDataProtector _protector = protection.CreateProtector("caseload.authenticator");

    /// <summary>Pairs an authenticator, in place of the one that was there; every other sign-in of the person ends.</summary>
    /// <param name="actor">The person.</param>
    /// <param name="visitor">Where the person is.</param>
    /// <param name="password">The present password.</param>
    /// <param name="currentCode">A code of the present authenticator or a recovery code; not needed when there is none.</param>
    /// <param name="secret">The new secret.</param>
    /// <param name="newCode">A code that the new authenticator shows.</param>
    /// <param name="ct">Cancels.</param>
    /// <returns>Fresh recovery codes, to be shown this once.</returns>
    public async Task<Checked<IReadOnlyList<string>>> PairAsync(
        Actor actor,
        Visitor visitor,
        string password,
        string currentCode,
        string secret,
        string newCode,
        CancellationToken ct
    )
    {
        await using var knock = await proof.BeginAsync(actor, visitor, ct);
        if (await ProveAsync(knock, password, currentCode, ct) is { Count: > 0 } refusals)
        {
            return Checked.Refuse<IReadOnlyList<string>>(refusals);
        }
        var at = time.GetUtcNow();
        if (AuthenticatorCodes.MatchedStep(secret, newCode, at, lastUsedStep: null) is not { } step)
        {
            return Checked.Refuse<IReadOnlyList<string>>(
                NewCodeField,
                "This code does not belong to the new key, or is too old. Wait for the next one and enter it."
            );
        }
        var isReplaced = knock.Person.AuthenticatorSecret is not null;
        knock.Person.AuthenticatorSecret = _protector.Protect(secret);
        knock.Person.AuthenticatorLastStep = step;
        var codes = await door.ReplaceRecoveryCodesAsync(knock.Context, KeyOf(actor), ct);
        await KeepAsync(knock, actor, isReplaced ? "second-factor-replaced" : "second-factor-added", at, ct);
        return Checked.Accept(codes);
    }

    /// <summary>Removes the authenticator and its recovery codes, where the programme allows it.</summary>
    /// <returns>What is wrong; empty when it is removed.</returns>
    public async Task<IReadOnlyList<Refusal>> RemoveAsync(
        Actor actor,
        Visitor visitor,
        string password,
        string currentCode,
        CancellationToken ct
    )
    {
        await using var knock = await proof.BeginAsync(actor, visitor, ct);
        if (knock.Policy.NeedsSecondFactor(knock.Person.Roles))
        {
            return [new Refusal(OwnProof.CodeField, "Your programme asks for a second factor. Replace the authenticator instead.")];
        }
        if (await ProveAsync(knock, password, currentCode, ct) is { Count: > 0 } refusals)
        {
            return refusals;
        }
        knock.Person.AuthenticatorSecret = null;
        knock.Person.AuthenticatorLastStep = null;
        await door.RemoveRecoveryCodesAsync(knock.Context, KeyOf(actor), ct);
        await KeepAsync(knock, actor, "second-factor-removed", time.GetUtcNow(), ct);
        return [];
    }

    /// <summary>Makes fresh recovery codes; the old ones are good no longer.</summary>
    public async Task<Checked<IReadOnlyList<string>>> RenewRecoveryCodesAsync(
        Actor actor,
        Visitor visitor,
        string password,
        CancellationToken ct
    )
    {
        await using var knock = await proof.BeginAsync(actor, visitor, ct);
        var refusals = await proof.CheckPasswordAsync(knock, password, ct);
        if (refusals.Count > 0)
        {
            return Checked.Refuse<IReadOnlyList<string>>(refusals);
        }
        if (knock.Person.AuthenticatorSecret is null)
        {
            return Checked.Refuse<IReadOnlyList<string>>(
                OwnProof.PasswordField,
                "Recovery codes stand in for an authenticator. Pair one first; it comes with codes."
            );
        }
        var codes = await door.ReplaceRecoveryCodesAsync(knock.Context, KeyOf(actor), ct);
        knock.Context.Record("recovery-codes-renewed", null, time.GetUtcNow());
        await knock.KeepAsync(ct);
        return Checked.Accept(codes);
    }

    private async Task<IReadOnlyList<Refusal>> ProveAsync(Knock knock, string password, string code, CancellationToken ct) =>
        await proof.CheckPasswordAsync(knock, password, ct) is { Count: > 0 } refusals
            ? refusals
            : await proof.CheckCodeAsync(knock, code, ct);

    private async Task KeepAsync(Knock knock, Actor actor, string what, DateTimeOffset at, CancellationToken ct)
    {
        knock.Person.SecurityStamp = Person.NewStamp();
        var ended = await OwnAccount.EndOthersAsync(knock.Context, actor, SignInEnd.RightsChanged, at, ct);
        knock.Context.Record(what, null, at, new Data.Access.AccessDetail().With("signInsEnded", ended.Count));
        await knock.KeepAsync(ct);
        switchboard.AnnounceEnded(ended);
    }

    private static PersonKey KeyOf(Actor actor) => new(actor.ProgrammeId, actor.PersonId);
}
