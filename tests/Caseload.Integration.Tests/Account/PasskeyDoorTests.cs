using System.Buffers.Text;
using System.Text;
using System.Text.Json;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace Caseload.Integration.Tests.Account;

/// <summary>What becomes of a ceremony's result; the ceremonies themselves are tried in a browser.</summary>
public sealed class PasskeyDoorTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    [Trait("Requirement", "SEC-12")]
    public async Task FailedPasskey_OfAPersonWhoHasIt_Counts()
    {
        var key = await Doorway.AddAsync();
        var id = await AddPasskeyAsync(key);
        for (var time = 0; time < FailureThrottle.FailuresPerLock; time++)
        {
            (await TryAsync(result: null, ClaimOf(key, id))).ShouldBe(new DoorAnswer.Refused());
        }

        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(FailureThrottle.FailuresPerLock);
        (await TryAsync(await SuccessAsync(key, id), ClaimOf(key, id))).ShouldBe(new DoorAnswer.Refused());
        _store.Time.Advance(FailureThrottle.FirstLock);
        (await TryAsync(await SuccessAsync(key, id), ClaimOf(key, id))).ShouldBeOfType<DoorAnswer.In>();
    }

    [Theory]
    [InlineData("")]
    [InlineData("not json")]
    [InlineData("[]")]
    [InlineData("{\"id\":null,\"response\":{\"userHandle\":null}}")]
    [InlineData("{\"id\":\"AAAA\",\"response\":{\"userHandle\":\"%%%\"}}")]
    [InlineData("{\"id\":5,\"response\":7}")]
    public async Task AnswerThatIsNone_IsRefused(string json) => (await TryAsync(result: null, json)).ShouldBe(new DoorAnswer.Refused());

    [Fact]
    [Trait("Requirement", "SEC-12")]
    public async Task MadeUpAnswer_ForSomebodyWithoutThatPasskey_ShutsNobodyOut()
    {
        var key = await Doorway.AddAsync();
        await AddPasskeyAsync(key);

        await TryAsync(result: null, ClaimOf(key, [9, 9, 9]));

        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(0);
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Passkey_WhereASecondFactorIsAsked_IsEnough_AndItsCounterIsKept()
    {
        var key = await Doorway.AddAsync();
        var id = await AddPasskeyAsync(key);
        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.NeedsSecondFactor>();

        (await TryAsync(await SuccessAsync(key, id, signCount: 42), ClaimOf(key, id))).ShouldBeOfType<DoorAnswer.In>();

        using var people = new PersonStore(_store.Db);
        (await people.FindPasskeyAsync(await Doorway.ReadAsync(key), id, Ct)).ShouldNotBeNull().SignCount.ShouldBe(42u);
        (await people.FindByPasskeyIdAsync(id, Ct)).ShouldNotBeNull().Id.ShouldBe(key.PersonId);
    }

    [Fact]
    public async Task DisabledPerson_StaysOutWithAPasskey()
    {
        var key = await Doorway.AddAsync();
        var id = await AddPasskeyAsync(key);
        await Doorway.ChangeAsync(key, person => person.DisabledAt = _store.Time.GetUtcNow());

        (await TryAsync(await SuccessAsync(key, id), ClaimOf(key, id))).ShouldBe(new DoorAnswer.Refused());
    }

    [Fact]
    public async Task OwnPasskeys_AreOwn_AndTheLastWayInStays()
    {
        var (mine, others) = (await _store.AddPersonAsync(_store.ProgrammeA, [Role.Administrator]), await Doorway.AddAsync());
        var key = new PersonKey(mine.ProgrammeId, mine.PersonId);
        var id = Base64Url.EncodeToString(await AddPasskeyAsync(key));
        var othersId = Base64Url.EncodeToString(await AddPasskeyAsync(others));
        var own = new OwnPasskeys(
            _store.Db,
            new OwnProof(_store.Db, Doorway.Hasher, Doorway.Protection, _store.Time),
            new Ceremonies(null),
            _store.Time
        );

        (await own.RemoveAsync(mine, othersId, Ct)).ShouldBeEmpty();
        await own.RenameAsync(mine, othersId, "Mine now", Ct);
        (await own.RenameAsync(mine, id, " ", Ct)).Single().Field.ShouldBe(OwnPasskeys.NameField);
        (await own.RenameAsync(mine, id, " Desk ", Ct)).ShouldBeEmpty();
        // No password and no other passkey.
        (await own.RemoveAsync(mine, id, Ct))
            .Single()
            .Field.ShouldBe(OwnPasskeys.NameField);

        (await own.ListAsync(mine, Ct)).Single().Name.ShouldBe("Desk");
        await using var context = _store.ContextA();
        (await context.PersonPasskeys.SingleAsync(row => row.PersonId == others.PersonId, Ct)).Name.ShouldBe("Phone");
    }

    private async Task<DoorAnswer> TryAsync(PasskeyAssertionResult<Person>? result, string credentialJson)
    {
        var services = new ServiceCollection();
        services.AddLogging();
        services.AddSingleton(Doorway.Protection);
        services.AddAuthentication().AddCookie(PasskeyCeremony.Scheme);
        await using var provider = services.BuildServiceProvider();
        var door = new PasskeyDoor(_store.Db, Doorway.Door, new Ceremonies(result));
        return await door.TryAsync(new DefaultHttpContext { RequestServices = provider }, credentialJson, Ct);
    }

    private async Task<PasskeyAssertionResult<Person>> SuccessAsync(PersonKey key, byte[] id, uint signCount = 1) =>
        PasskeyAssertionResult.Success(Passkey(id, signCount), await Doorway.ReadAsync(key));

    private async Task<byte[]> AddPasskeyAsync(PersonKey key)
    {
        var id = key.PersonId.ToByteArray();
        await using var context = _store.ContextA();
        context.Add(
            new PersonPasskey
            {
                ProgrammeId = key.ProgrammeId,
                CredentialId = id,
                PersonId = key.PersonId,
                Name = "Phone",
                Content = """
                {"PublicKey":"AQID","SignCount":0,"Transports":["internal"],"IsUserVerified":true,"IsBackupEligible":false,"IsBackedUp":false,"AttestationObject":"AQ==","ClientDataJson":"AQ=="}
                """,
                CreatedAt = _store.Time.GetUtcNow(),
            }
        );
        await context.SaveChangesAsync(Ct);
        return id;
    }

    private UserPasskeyInfo Passkey(byte[] id, uint signCount) =>
        new(id, [1, 2, 3], _store.Time.GetUtcNow(), signCount, ["internal"], true, false, false, [1], [1]);

    private static string ClaimOf(PersonKey key, byte[] id) =>
        JsonSerializer.Serialize(
            new
            {
                id = Base64Url.EncodeToString(id),
                response = new { userHandle = Base64Url.EncodeToString(Encoding.UTF8.GetBytes(key.PersonId.ToString())) },
            }
        );

    private sealed class Ceremonies(PasskeyAssertionResult<Person>? result) : IPasskeyHandler<Person>
    {
        public Task<PasskeyAssertionResult<Person>> PerformAssertionAsync(PasskeyAssertionContext context) =>
            Task.FromResult(result ?? PasskeyAssertionResult.Fail<Person>(new PasskeyException("It did not prove itself.")));

        public Task<PasskeyAttestationResult> PerformAttestationAsync(PasskeyAttestationContext context) =>
            throw new NotSupportedException();

        public Task<PasskeyCreationOptionsResult> MakeCreationOptionsAsync(PasskeyUserEntity userEntity, HttpContext httpContext) =>
            throw new NotSupportedException();

        public Task<PasskeyRequestOptionsResult> MakeRequestOptionsAsync(Person? user, HttpContext httpContext) =>
            throw new NotSupportedException();
    }
}
