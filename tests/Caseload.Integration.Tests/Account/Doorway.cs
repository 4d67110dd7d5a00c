using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Options;
using OtpNet;

namespace Caseload.Integration.Tests.Account;

/// <summary>A door in front of programme A, whose people have the password that is written here.</summary>
internal sealed class Doorway(StoreFixture store, int hashRounds = 2_000)
{
    internal const string Password = "gravel lantern orchid seven";

    internal static readonly Visitor Visitor = new("192.0.2.7", "Firefox on Linux");

    internal IPasswordHasher<Person> Hasher { get; } = HasherOf(hashRounds);

    internal SignInSwitchboard Switchboard { get; } = new();

    internal IDataProtectionProvider Protection { get; } = new EphemeralDataProtectionProvider();

    internal SignInDoor Door => field ??= new SignInDoor(store.Db, Hasher, Protection, store.Time);

    internal SignInKeeper Keeper => field ??= new SignInKeeper(store.Db, Switchboard, store.Time);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    internal static IPasswordHasher<Person> HasherOf(int rounds) =>
        new PasswordHasher<Person>(Options.Create(new PasswordHasherOptions { IterationCount = rounds }));

    /// <summary>A person with the password.</summary>
    internal async Task<PersonKey> AddAsync(params Role[] roles)
    {
        var actor = await store.AddPersonAsync(store.ProgrammeA, roles.Length > 0 ? roles : [Role.Clinician]);
        var key = new PersonKey(actor.ProgrammeId, actor.PersonId);
        await ChangeAsync(key, person => person.PasswordHash = Hasher.HashPassword(person, Password));
        return key;
    }

    /// <summary>A person with the password and an authenticator.</summary>
    internal async Task<(PersonKey Person, string Secret, IReadOnlyList<string> RecoveryCodes)> AddPairedAsync()
    {
        var key = await AddAsync();
        var secret = AuthenticatorCodes.NewSecret();
        var paired = await Door.PairAsync(key, secret, CodeOf(secret), Visitor, Ct);
        store.Time.Advance(TimeSpan.FromMinutes(1));
        return (key, secret, paired!.RecoveryCodes);
    }

    internal string CodeOf(string secret) => new Totp(Base32Encoding.ToBytes(secret)).ComputeTotp(store.Time.GetUtcNow().UtcDateTime);

    internal async Task<DoorAnswer> TryAsync(PersonKey key, string password = Password) =>
        await Door.TryPasswordAsync((await ReadAsync(key)).SignInName, password, Visitor, Ct);

    internal async Task FailAsync(PersonKey key, int times)
    {
        for (var time = 0; time < times; time++)
        {
            (await TryAsync(key, "not the password at all")).ShouldBeOfType<DoorAnswer.Refused>();
        }
    }

    internal async Task<Person> ReadAsync(PersonKey key)
    {
        await using var context = store.ContextA();
        return await context.People.AsNoTracking().SingleAsync(person => person.Id == key.PersonId, Ct);
    }

    internal async Task ChangeAsync(PersonKey key, Action<Person> change)
    {
        await using var context = store.ContextA();
        change(await context.People.SingleAsync(person => person.Id == key.PersonId, Ct));
        await context.SaveChangesAsync(Ct);
    }

    /// <summary>The programme asks nobody for a second factor.</summary>
    internal Task AskNoSecondFactorAsync() =>
        SetPolicyAsync(
            AccessPolicy.Default with
            {
                AdministratorsNeedSecondFactor = false,
                TeamLeadsNeedSecondFactor = false,
                CliniciansNeedSecondFactor = false,
                ObserversNeedSecondFactor = false,
            }
        );

    internal async Task SetPolicyAsync(AccessPolicy policy)
    {
        await using var context = store.ContextA();
        (await context.Programmes.SingleAsync(Ct)).AccessPolicy = policy;
        await context.SaveChangesAsync(Ct);
    }

    /// <summary>How often something stands in the access record for a person.</summary>
    internal async Task<int> CountRecordedAsync(PersonKey key, string what)
    {
        await using var context = store.ContextA();
        return await context.AccessEntries.CountAsync(entry => entry.PersonId == key.PersonId && entry.What == what, Ct);
    }

    /// <summary>How many sign-ins are open.</summary>
    internal async Task<int> CountOpenAsync(PersonKey key)
    {
        await using var context = store.ContextA();
        return await context.SignIns.CountAsync(row => row.PersonId == key.PersonId && row.EndedAt == null, Ct);
    }
}
