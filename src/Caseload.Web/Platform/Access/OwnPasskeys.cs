using System.Buffers.Text;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>A passkey in the person's list.</summary>
/// <param name="Id">Its id, as text for a form.</param>
/// <param name="Name">What the person calls it.</param>
/// <param name="AddedAt">When it was added, in the programme's time zone.</param>
public sealed record OwnPasskey(string Id, string Name, DateTimeOffset AddedAt);

/// <summary>Lists, adds, renames and removes the own passkeys.</summary>
public sealed class OwnPasskeys(CaseloadDb db, OwnProof proof, IPasskeyHandler<Person> ceremonies, TimeProvider time)
{
    /// <summary>The field of a passkey's name.</summary>
    public const string NameField = "passkey-name";

    private const string NotMade = "The passkey was not made, or it took too long. Try again.";

    /// <summary>The passkeys, newest first.</summary>
    public async Task<IReadOnlyList<OwnPasskey>> ListAsync(Actor actor, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var rows = await Own(context, actor)
            .AsNoTracking()
            .OrderByDescending(row => row.CreatedAt)
            .Select(row => new
            {
                row.CredentialId,
                row.Name,
                row.CreatedAt,
            })
            .ToListAsync(ct);
        return
        [
            .. rows.Select(row => new OwnPasskey(
                Base64Url.EncodeToString(row.CredentialId),
                row.Name,
                TimeZoneInfo.ConvertTime(row.CreatedAt, actor.TimeZone)
            )),
        ];
    }

    /// <summary>What the browser makes a passkey from, once the person has proved who they are; remembered for the answer.</summary>
    public async Task<Checked<string>> AskAsync(HttpContext http, Actor actor, string password, CancellationToken ct)
    {
        string signInName;
        await using (var knock = await proof.BeginAsync(actor, SignInCookies.VisitorOf(http), ct))
        {
            signInName = knock.Person.SignInName;
            // Whoever has no password came in by a passkey or the identity provider.
            if (knock.Person.PasswordHash is not null && await proof.CheckPasswordAsync(knock, password, ct) is { Count: > 0 } refusals)
            {
                return Checked.Refuse<string>(refusals);
            }
        }
        var asked = await ceremonies.MakeCreationOptionsAsync(
            new PasskeyUserEntity
            {
                Id = actor.PersonId.ToString(),
                Name = signInName,
                DisplayName = actor.DisplayName,
            },
            http
        );
        await PasskeyCeremony.KeepAsync(http, asked.AttestationState!);
        return Checked.Accept(asked.CreationOptionsJson);
    }

    /// <summary>Adds what the browser made.</summary>
    /// <returns>What is wrong; empty when it is added.</returns>
    public async Task<IReadOnlyList<Refusal>> AddAsync(
        HttpContext http,
        Actor actor,
        string name,
        string credentialJson,
        CancellationToken ct
    )
    {
        if (CheckName(name) is { } refusal)
        {
            return [refusal];
        }
        var result = await ceremonies.PerformAttestationAsync(
            new PasskeyAttestationContext
            {
                HttpContext = http,
                CredentialJson = credentialJson,
                AttestationState = await PasskeyCeremony.TakeAsync(http),
            }
        );
        if (!result.Succeeded || !result.Passkey.IsUserVerified || result.UserEntity.Id != actor.PersonId.ToString())
        {
            return [new Refusal(NameField, NotMade)];
        }
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        context.Add(
            new PersonPasskey
            {
                ProgrammeId = actor.ProgrammeId,
                CredentialId = result.Passkey.CredentialId,
                PersonId = actor.PersonId,
                Name = name.Trim(),
                Content = PasskeyContent.Write(result.Passkey),
                CreatedAt = at,
            }
        );
        context.Record("passkey-added", null, at);
        await context.SaveChangesAsync(ct);
        return [];
    }

    /// <summary>Renames one.</summary>
    /// <returns>What is wrong; empty when it is renamed or no longer there.</returns>
    public async Task<IReadOnlyList<Refusal>> RenameAsync(Actor actor, string id, string name, CancellationToken ct)
    {
        if (CheckName(name) is { } refusal)
        {
            return [refusal];
        }
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        if (await FindAsync(context, actor, id, ct) is { } passkey)
        {
            passkey.Name = name.Trim();
            context.Record("passkey-renamed", null, time.GetUtcNow());
            await context.SaveChangesAsync(ct);
        }
        return [];
    }

    /// <summary>Removes one, unless nobody could get in any more.</summary>
    /// <returns>What is wrong; empty when it is removed or no longer there.</returns>
    public async Task<IReadOnlyList<Refusal>> RemoveAsync(Actor actor, string id, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        if (await FindAsync(context, actor, id, ct) is not { } passkey)
        {
            return [];
        }
        var hasOtherWay =
            await context.People.AnyAsync(row => row.Id == actor.PersonId && row.PasswordHash != null, ct)
            || await context.PersonLogins.AnyAsync(row => row.PersonId == actor.PersonId, ct)
            || await Own(context, actor).CountAsync(ct) > 1;
        if (!hasOtherWay)
        {
            return
            [
                new Refusal(NameField, "This is your only way in. Add another passkey first, or ask for an invitation to set a password."),
            ];
        }
        context.Remove(passkey);
        context.Record("passkey-removed", null, time.GetUtcNow());
        await context.SaveChangesAsync(ct);
        return [];
    }

    private static Refusal? CheckName(string name) =>
        string.IsNullOrWhiteSpace(name)
            ? new Refusal(NameField, "Give it a name by which you know the device, for example \"Work tablet\".")
        : name.Trim().Length > TextLimits.Key ? new Refusal(NameField, $"At most {TextLimits.Key} characters fit. Shorten it.")
        : null;

    private static IQueryable<PersonPasskey> Own(CaseloadDbContext context, Actor actor) =>
        context.PersonPasskeys.Where(row => row.PersonId == actor.PersonId);

    private static async Task<PersonPasskey?> FindAsync(CaseloadDbContext context, Actor actor, string id, CancellationToken ct)
    {
        if (!Base64Url.IsValid(id))
        {
            return null;
        }
        var credentialId = Base64Url.DecodeFromChars(id);
        return await Own(context, actor).SingleOrDefaultAsync(row => row.CredentialId == credentialId, ct);
    }
}
