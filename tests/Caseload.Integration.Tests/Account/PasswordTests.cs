using System.Diagnostics;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Identity;

namespace Caseload.Integration.Tests.Account;

public sealed class PasswordTests(MigratedPostgres postgres) : IAsyncLifetime
{
    // What the application uses; the timing is that of the hash.
    private const int RoundsInUse = 210_000;

    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    public async ValueTask InitializeAsync()
    {
        await _store.InitializeAsync();
        await Doorway.AskNoSecondFactorAsync();
    }

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    [Trait("Requirement", "SEC-41")]
    public async Task RightPassword_LetsInUnderASignInThatHolds()
    {
        var key = await Doorway.AddAsync();

        var claims = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;

        var actor = await _store.Db.FindActorAsync(claims.PersonId, claims.SignInId, Ct);
        actor.ShouldNotBeNull().PersonId.ShouldBe(key.PersonId);
        (await Doorway.CountRecordedAsync(key, "signed-in")).ShouldBe(1);
    }

    [Fact]
    public async Task SignInName_InOtherCaseAndWithSpaces_IsTheSame()
    {
        var key = await Doorway.AddAsync();
        var name = (await Doorway.ReadAsync(key)).SignInName;

        var answer = await Doorway.Door.TryPasswordAsync($" {name.ToUpperInvariant()} ", Doorway.Password, Doorway.Visitor, Ct);

        answer.ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-13")]
    [Trait("Requirement", "SEC-41")]
    public async Task WrongPasswordAndUnknownName_AreAnsweredAlike()
    {
        var key = await Doorway.AddAsync();

        var wrong = await Doorway.TryAsync(key, "gravel lantern orchid eight");
        var unknown = await Doorway.Door.TryPasswordAsync("nobody.of.that.name", Doorway.Password, Doorway.Visitor, Ct);
        var farTooLong = await Doorway.Door.TryPasswordAsync(new string('x', 4000), Doorway.Password, Doorway.Visitor, Ct);

        wrong.ShouldBe(new DoorAnswer.Refused());
        unknown.ShouldBe(wrong);
        farTooLong.ShouldBe(wrong);
        (await Doorway.CountRecordedAsync(key, "sign-in-failed")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-13")]
    public async Task UnknownName_TakesAboutAsLongAsAWrongPassword()
    {
        var doorway = new Doorway(_store, RoundsInUse);
        var key = await doorway.AddAsync();
        var name = (await doorway.ReadAsync(key)).SignInName;
        // The first of each pays for compiling.
        await MeasureAsync(name);
        await MeasureAsync("nobody.of.that.name");
        var wrong = new List<double>();
        var unknown = new List<double>();
        for (var round = 0; round < 15; round++)
        {
            wrong.Add(await MeasureAsync(name));
            unknown.Add(await MeasureAsync("nobody.of.that.name"));
        }

        // The shortest is what the work takes; all above it is what else the machine did.
        var ratio = wrong.Min() / unknown.Min();

        ratio.ShouldBeInRange(0.5, 2.0);

        async Task<double> MeasureAsync(string signInName)
        {
            var watch = Stopwatch.StartNew();
            await doorway.Door.TryPasswordAsync(signInName, "not the password at all", Doorway.Visitor, Ct);
            return watch.Elapsed.TotalMilliseconds;
        }
    }

    [Fact]
    [Trait("Requirement", "SEC-16")]
    public async Task DisabledPerson_StaysOutWithTheRightPassword()
    {
        var key = await Doorway.AddAsync();
        var before = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;
        await Doorway.ChangeAsync(key, person => person.DisabledAt = _store.Time.GetUtcNow());

        var answer = await Doorway.TryAsync(key);

        answer.ShouldBe(new DoorAnswer.Refused());
        (await _store.Db.FindActorAsync(before.PersonId, before.SignInId, Ct)).ShouldBeNull();
    }

    [Fact]
    public async Task PersonWithoutAPassword_StaysOut()
    {
        var key = await Doorway.AddAsync();
        await Doorway.ChangeAsync(key, person => person.PasswordHash = null);

        (await Doorway.TryAsync(key, "")).ShouldBe(new DoorAnswer.Refused());
    }

    [Fact]
    [Trait("Requirement", "SEC-30")]
    public async Task HashOfFewerRounds_IsRenewedAtTheNextSignIn()
    {
        var key = await Doorway.AddAsync();
        await Doorway.ChangeAsync(key, person => person.PasswordHash = Doorway.HasherOf(100).HashPassword(person, Doorway.Password));
        var before = await Doorway.ReadAsync(key);
        Doorway
            .Hasher.VerifyHashedPassword(before, before.PasswordHash!, Doorway.Password)
            .ShouldBe(PasswordVerificationResult.SuccessRehashNeeded);

        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>();

        var after = await Doorway.ReadAsync(key);
        Doorway.Hasher.VerifyHashedPassword(after, after.PasswordHash!, Doorway.Password).ShouldBe(PasswordVerificationResult.Success);
    }

    [Fact]
    [Trait("Requirement", "SEC-15")]
    public async Task SignIn_EveryTime_HasAFreshId()
    {
        var key = await Doorway.AddAsync();
        var ids = new HashSet<Guid>();
        for (var time = 0; time < 3; time++)
        {
            ids.Add((await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims.SignInId);
        }

        ids.Count.ShouldBe(3);
    }

    [Theory]
    [InlineData(SignInMethod.Passkey)]
    [InlineData(SignInMethod.IdentityProvider)]
    public async Task ProofFromElsewhere_LetsInOnlyWhoIsNotDisabledOrLocked(SignInMethod method)
    {
        var key = await Doorway.AddAsync();
        (await Doorway.Door.LetInAsync(key, method, Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
        await Doorway.FailAsync(key, FailureThrottle.FailuresPerLock);

        (await Doorway.Door.LetInAsync(key, method, Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());

        _store.Time.Advance(FailureThrottle.FirstLock);
        await Doorway.ChangeAsync(key, person => person.DisabledAt = _store.Time.GetUtcNow());
        (await Doorway.Door.LetInAsync(key, method, Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
    }
}
