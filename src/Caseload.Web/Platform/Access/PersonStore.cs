using System.Text.Json;
using Caseload.Data;
using Caseload.Data.People;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>
/// Shows people and their passkeys to the framework's passkey ceremonies. It only reads: the ceremonies write nothing, and everything else
/// about a person is changed by the classes beside this one, in the person's own scope and with an entry in the access record.
/// </summary>
public sealed class PersonStore(CaseloadDb db) : IUserPasskeyStore<Person>
{
    /// <inheritdoc />
    public Task<string> GetUserIdAsync(Person user, CancellationToken cancellationToken) => Task.FromResult(user.Id.ToString());

    /// <inheritdoc />
    public Task<string?> GetUserNameAsync(Person user, CancellationToken cancellationToken) => Task.FromResult<string?>(user.SignInName);

    /// <inheritdoc />
    public Task<string?> GetNormalizedUserNameAsync(Person user, CancellationToken cancellationToken) =>
        Task.FromResult<string?>(user.NormalizedSignInName);

    /// <inheritdoc />
    public async Task<Person?> FindByIdAsync(string userId, CancellationToken cancellationToken)
    {
        if (!Guid.TryParse(userId, out var id))
        {
            return null;
        }
        await using var context = db.ForFindingPeople();
        return await context.People.AsNoTracking().SingleOrDefaultAsync(row => row.Id == id, cancellationToken);
    }

    /// <inheritdoc />
    public async Task<Person?> FindByNameAsync(string normalizedUserName, CancellationToken cancellationToken)
    {
        await using var context = db.ForFindingPeople();
        return await context
            .People.AsNoTracking()
            .SingleOrDefaultAsync(row => row.NormalizedSignInName == normalizedUserName, cancellationToken);
    }

    /// <inheritdoc />
    public async Task<IList<UserPasskeyInfo>> GetPasskeysAsync(Person user, CancellationToken cancellationToken)
    {
        await using var context = db.ForFindingPeople();
        var rows = await context.PersonPasskeys.AsNoTracking().Where(row => row.PersonId == user.Id).ToListAsync(cancellationToken);
        return [.. rows.Select(PasskeyContent.Read)];
    }

    /// <inheritdoc />
    public async Task<Person?> FindByPasskeyIdAsync(byte[] credentialId, CancellationToken cancellationToken)
    {
        await using var context = db.ForFindingPeople();
        return await context
            .People.AsNoTracking()
            .SingleOrDefaultAsync(
                row => context.PersonPasskeys.Any(passkey => passkey.CredentialId == credentialId && passkey.PersonId == row.Id),
                cancellationToken
            );
    }

    /// <inheritdoc />
    public async Task<UserPasskeyInfo?> FindPasskeyAsync(Person user, byte[] credentialId, CancellationToken cancellationToken)
    {
        await using var context = db.ForFindingPeople();
        var row = await context
            .PersonPasskeys.AsNoTracking()
            .SingleOrDefaultAsync(row => row.PersonId == user.Id && row.CredentialId == credentialId, cancellationToken);
        return row is null ? null : PasskeyContent.Read(row);
    }

    /// <inheritdoc />
    public Task AddOrUpdatePasskeyAsync(Person user, UserPasskeyInfo passkey, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task RemovePasskeyAsync(Person user, byte[] credentialId, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task SetUserNameAsync(Person user, string? userName, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task SetNormalizedUserNameAsync(Person user, string? normalizedName, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task<IdentityResult> CreateAsync(Person user, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task<IdentityResult> UpdateAsync(Person user, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public Task<IdentityResult> DeleteAsync(Person user, CancellationToken cancellationToken) => throw ReadsOnly();

    /// <inheritdoc />
    public void Dispose()
    {
        // Every context is disposed by the call that made it.
    }

    private static NotSupportedException ReadsOnly() => new("People are changed by the classes of this folder, never by the framework.");
}

/// <summary>What is stored of a passkey beside its id, as the JSON object of its row.</summary>
/// <param name="PublicKey">The public key.</param>
/// <param name="SignCount">The authenticator's counter at the last use.</param>
/// <param name="Transports">How the authenticator can be reached.</param>
/// <param name="IsUserVerified">Whether the authenticator checked who holds it when it was added.</param>
/// <param name="IsBackupEligible">Whether it may be copied to the person's other devices.</param>
/// <param name="IsBackedUp">Whether it is.</param>
/// <param name="AttestationObject">What the authenticator said about itself.</param>
/// <param name="ClientDataJson">What the browser signed.</param>
internal sealed record PasskeyContent(
    byte[] PublicKey,
    uint SignCount,
    string[]? Transports,
    bool IsUserVerified,
    bool IsBackupEligible,
    bool IsBackedUp,
    byte[] AttestationObject,
    byte[] ClientDataJson
)
{
    internal static string Write(UserPasskeyInfo passkey) =>
        JsonSerializer.Serialize(
            new PasskeyContent(
                passkey.PublicKey,
                passkey.SignCount,
                passkey.Transports,
                passkey.IsUserVerified,
                passkey.IsBackupEligible,
                passkey.IsBackedUp,
                passkey.AttestationObject,
                passkey.ClientDataJson
            )
        );

    internal static UserPasskeyInfo Read(PersonPasskey row)
    {
        var content = JsonSerializer.Deserialize<PasskeyContent>(row.Content)!;
        return new UserPasskeyInfo(
            row.CredentialId,
            content.PublicKey,
            row.CreatedAt,
            content.SignCount,
            content.Transports,
            content.IsUserVerified,
            content.IsBackupEligible,
            content.IsBackedUp,
            content.AttestationObject,
            content.ClientDataJson
        )
        {
            Name = row.Name,
        };
    }
}
