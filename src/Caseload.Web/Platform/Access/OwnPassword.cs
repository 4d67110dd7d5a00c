using Caseload.Data;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Changes the own password.</summary>
public sealed class OwnPassword(OwnProof proof, IPasswordHasher<Person> hasher, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Changes it and ends every other sign-in of the person, because somebody who knew the old one may sit there.</summary>
    /// <returns>What is wrong; empty when it is changed.</returns>
    public async Task<IReadOnlyList<Refusal>> ChangeAsync(Actor actor, Visitor visitor, string current, string next, CancellationToken ct)
    {
        await using var knock = await proof.BeginAsync(actor, visitor, ct);
        var person = knock.Person;
        var refusals = await proof.CheckPasswordAsync(knock, current, ct);
        if (refusals.Count > 0)
        {
            return refusals;
        }
        var programme = await knock.Context.Programmes.Select(row => row.Name).SingleAsync(ct);
        refusals = PasswordRules.Check(next, [person.Name, person.SignInName, person.Email, programme]);
        if (refusals.Count > 0)
        {
            return refusals;
        }
        var at = time.GetUtcNow();
        person.PasswordHash = hasher.HashPassword(person, PasswordRules.FormToHash(next));
        person.SecurityStamp = Person.NewStamp();
        var ended = await OwnAccount.EndOthersAsync(knock.Context, actor, SignInEnd.EndedByPerson, at, ct);
        knock.Context.Record("password-changed", null, at, new Data.Access.AccessDetail().With("signInsEnded", ended.Count));
        await knock.KeepAsync(ct);
        switchboard.AnnounceEnded(ended);
        return [];
    }
}
