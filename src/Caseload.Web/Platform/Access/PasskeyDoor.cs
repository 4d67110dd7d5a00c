using System.Buffers.Text;
using System.Text;
using System.Text.Json;
using Caseload.Data;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>Lets people in by a passkey. Nobody says first who they are: the passkey does.</summary>
public sealed class PasskeyDoor(CaseloadDb db, SignInDoor door, IPasskeyHandler<Person> ceremonies)
{
    /// <summary>What the browser asks the person's devices; remembered for the answer.</summary>
    public async Task<string> AskAsync(HttpContext http)
    {
        var asked = await ceremonies.MakeRequestOptionsAsync(null, http);
        await PasskeyCeremony.KeepAsync(http, asked.AssertionState!);
        return asked.RequestOptionsJson;
    }

    /// <summary>Tries what a device answered.</summary>
    public async Task<DoorAnswer> TryAsync(HttpContext http, string credentialJson, CancellationToken ct)
    {
        var visitor = SignInCookies.VisitorOf(http);
        var result = await ceremonies.PerformAssertionAsync(
            new PasskeyAssertionContext
            {
                HttpContext = http,
                CredentialJson = credentialJson,
                AssertionState = await PasskeyCeremony.TakeAsync(http),
            }
        );
        if (!result.Succeeded)
        {
            if (await FindClaimedAsync(credentialJson, ct) is { } claimed)
            {
                await door.CountFailureAsync(claimed, SignInMethod.Passkey.ToWord(), visitor, ct);
            }
            return new DoorAnswer.Refused();
        }
        var key = new PersonKey(result.User.ProgrammeId, result.User.Id);
        var answer = await door.LetInAsync(key, SignInMethod.Passkey, visitor, ct);
        if (answer is DoorAnswer.In inside)
        {
            await KeepUseAsync(key, result.User.Name, result.Passkey, visitor, inside.Claims, ct);
        }
        return answer;
    }

    private async Task KeepUseAsync(
        PersonKey key,
        string name,
        UserPasskeyInfo passkey,
        Visitor visitor,
        SignInClaims claims,
        CancellationToken ct
    )
    {
        await using var context = db.ForAccount(key.ProgrammeId, key.PersonId, name, visitor.Address, claims.SignInId);
        var content = PasskeyContent.Write(passkey);
        await context
            .PersonPasskeys.Where(row => row.PersonId == key.PersonId && row.CredentialId == passkey.CredentialId)
            .ExecuteUpdateAsync(row => row.SetProperty(stored => stored.Content, content), ct);
    }

    /// <summary>Whose passkey it claims to be; counted only when that person has it, so that a made-up answer shuts nobody out.</summary>
    private async Task<PersonKey?> FindClaimedAsync(string credentialJson, CancellationToken ct)
    {
        if (ReadClaim(credentialJson) is not var (personId, credentialId))
        {
            return null;
        }
        await using var context = db.ForFindingPeople();
        return await context
            .PersonPasskeys.Where(row => row.PersonId == personId && row.CredentialId == credentialId)
            .Select(row => new PersonKey(row.ProgrammeId, row.PersonId))
            .SingleOrDefaultAsync(ct);
    }

    private static (Guid PersonId, byte[] CredentialId)? ReadClaim(string credentialJson)
    {
        try
        {
            using var credential = JsonDocument.Parse(credentialJson);
            var handle = credential.RootElement.GetProperty("response").GetProperty("userHandle").GetString();
            var id = credential.RootElement.GetProperty("id").GetString();
            return Guid.TryParse(Encoding.UTF8.GetString(Base64Url.DecodeFromChars(handle)), out var personId)
                ? (personId, Base64Url.DecodeFromChars(id))
                : null;
        }
        catch (Exception exception)
            when (exception is JsonException or KeyNotFoundException or FormatException or InvalidOperationException)
        {
            return null;
        }
    }
}
