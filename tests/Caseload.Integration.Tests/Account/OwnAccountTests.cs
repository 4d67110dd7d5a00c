using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Account;

public sealed class OwnAccountTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private const string NewPassword = "tangerine ferry notebook elm";

    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    private OwnProof Proof => field ??= new OwnProof(_store.Db, Doorway.Hasher, Doorway.Protection, _store.Time);

    private OwnAccount Own => field ??= new OwnAccount(_store.Db, Doorway.Switchboard, _store.Time);

    private OwnPassword Passwords => field ??= new OwnPassword(Proof, Doorway.Hasher, Doorway.Switchboard, _store.Time);

    private OwnSecondFactor Factors =>
        field ??= new OwnSecondFactor(Proof, Doorway.Door, Doorway.Protection, Doorway.Switchboard, _store.Time);

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    [Trait("Requirement", "SEC-17")]
    public async Task Account_ShowsOwnOpenSignInsOnly_AlsoToAnAdministrator()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, key) = await SignInAsync(Role.Administrator);
        await SignInAsync(Role.Clinician);
        var other = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;

        var account = await Own.GetAsync(actor, Ct);

        account.Roles.ShouldBe([Role.Administrator]);
        account.SignIns.Select(row => row.Id).ShouldContain(other.SignInId);
        account.SignIns[0].Id.ShouldBe(actor.SignInId);
        account.SignIns.Count(row => row.IsThisOne).ShouldBe(1);
        account.SignIns.Count.ShouldBe(await Doorway.CountOpenAsync(key));
    }

    [Fact]
    [Trait("Requirement", "SEC-17")]
    public async Task SignIn_EndedByThePerson_IsOverAtOnceAndTold()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, key) = await SignInAsync();
        var other = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;
        var told = new List<Guid>();
        using var line = Doorway.Switchboard.Listen(told.Add);

        (await Own.EndAsync(actor, other.SignInId, Ct)).ShouldBe(1);

        told.ShouldBe([other.SignInId]);
        (await Doorway.Keeper.FindAsync(other, Ct)).ShouldBeNull();
        (await EndOfAsync(other.SignInId)).ShouldBe(SignInEnd.EndedByPerson);
        (await _store.Db.FindActorAsync(actor.PersonId, actor.SignInId, Ct)).ShouldNotBeNull();
        (await Doorway.CountRecordedAsync(key, "sign-ins-ended")).ShouldBe(1);
    }

    [Theory]
    [InlineData(Role.Clinician)]
    [InlineData(Role.Administrator)]
    [Trait("Requirement", "SEC-17")]
    public async Task SignIn_OfSomebodyElse_IsLeftAlone(Role role)
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, _) = await SignInAsync(role);
        var (other, _) = await SignInAsync();

        (await Own.EndAsync(actor, other.SignInId, Ct)).ShouldBe(0);
        await Own.EndOthersAsync(actor, Ct);

        (await _store.Db.FindActorAsync(other.PersonId, other.SignInId, Ct)).ShouldNotBeNull();
    }

    [Fact]
    [Trait("Requirement", "SEC-10")]
    public async Task Password_Changed_EndsEveryOtherSignIn()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, key) = await SignInAsync();
        var other = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;
        var stamp = (await Doorway.ReadAsync(key)).SecurityStamp;

        (await Passwords.ChangeAsync(actor, Doorway.Visitor, Doorway.Password, NewPassword, Ct)).ShouldBeEmpty();

        (await Doorway.Keeper.FindAsync(other, Ct)).ShouldBeNull();
        (await Doorway.CountOpenAsync(key)).ShouldBe(1);
        (await Doorway.ReadAsync(key)).SecurityStamp.ShouldNotBe(stamp);
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.TryAsync(key, NewPassword)).ShouldBeOfType<DoorAnswer.In>();
        (await Doorway.CountRecordedAsync(key, "password-changed")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-10")]
    [Trait("Requirement", "SEC-12")]
    public async Task Password_WithAWrongPresentOne_IsRefusedAtItsFieldAndCounts()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, key) = await SignInAsync();
        for (var time = 0; time < FailureThrottle.FailuresPerLock; time++)
        {
            (await Passwords.ChangeAsync(actor, Doorway.Visitor, "not the password at all", NewPassword, Ct))
                .Single()
                .Field.ShouldBe(OwnProof.PasswordField);
        }

        // Shut now, for the right one as well, here and at the door.
        (await Passwords.ChangeAsync(actor, Doorway.Visitor, Doorway.Password, NewPassword, Ct)).ShouldNotBeEmpty();
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(FailureThrottle.FailuresPerLock);
        (await Doorway.CountRecordedAsync(key, "proof-failed")).ShouldBe(6);
    }

    [Fact]
    [Trait("Requirement", "SEC-09")]
    public async Task Password_ThatTheRulesRefuse_ChangesNothing()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, key) = await SignInAsync();

        (await Passwords.ChangeAsync(actor, Doorway.Visitor, Doorway.Password, "Given Family Caseload", Ct))
            .Single()
            .Field.ShouldBe(PasswordRules.Field);

        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-05")]
    public async Task Change_UnderASignInThatIsOver_IsRefused()
    {
        await Doorway.AskNoSecondFactorAsync();
        var (actor, _) = await SignInAsync();
        _store.Time.Advance(TimeSpan.FromMinutes(20));

        await Should.ThrowAsync<SignInEndedException>(() =>
            Passwords.ChangeAsync(actor, Doorway.Visitor, Doorway.Password, NewPassword, Ct)
        );
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    [Trait("Requirement", "SEC-11")]
    public async Task Authenticator_Replaced_NeedsPasswordAndACodeOfTheOldOne()
    {
        var (key, old, codes) = await Doorway.AddPairedAsync();
        var actor = await InAsync(key, old);
        var secret = AuthenticatorCodes.NewSecret();

        (await PairAsync(actor, "not the password at all", Doorway.CodeOf(old), secret)).ShouldBe(OwnProof.PasswordField);
        (await PairAsync(actor, Doorway.Password, "000000", secret)).ShouldBe(OwnProof.CodeField);
        _store.Time.Advance(TimeSpan.FromMinutes(1));
        (await PairAsync(actor, Doorway.Password, Doorway.CodeOf(old), AuthenticatorCodes.NewSecret(), Doorway.CodeOf(secret))).ShouldBe(
            OwnSecondFactor.NewCodeField
        );
        (await PairAsync(actor, Doorway.Password, Doorway.CodeOf(old), secret)).ShouldBeNull();

        _store.Time.Advance(TimeSpan.FromMinutes(1));
        (await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(old), Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryRecoveryCodeAsync(key, codes[0], Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
        (await Doorway.CountRecordedAsync(key, "second-factor-replaced")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task Authenticator_Lost_IsReplacedByARecoveryCode()
    {
        var (key, old, codes) = await Doorway.AddPairedAsync();
        var actor = await InAsync(key, old);

        (await PairAsync(actor, Doorway.Password, codes[1], AuthenticatorCodes.NewSecret())).ShouldBeNull();
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Authenticator_IsRemovedOnlyWhereTheProgrammeAllowsIt()
    {
        var (key, secret, _) = await Doorway.AddPairedAsync();
        var actor = await InAsync(key, secret);
        _store.Time.Advance(TimeSpan.FromMinutes(1));
        (await Factors.RemoveAsync(actor, Doorway.Visitor, Doorway.Password, Doorway.CodeOf(secret), Ct)).ShouldNotBeEmpty();
        (await Doorway.ReadAsync(key)).AuthenticatorSecret.ShouldNotBeNull();

        await Doorway.AskNoSecondFactorAsync();
        (await Factors.RemoveAsync(actor, Doorway.Visitor, Doorway.Password, Doorway.CodeOf(secret), Ct)).ShouldBeEmpty();

        (await Doorway.ReadAsync(key)).AuthenticatorSecret.ShouldBeNull();
        (await Own.GetAsync(actor, Ct)).RecoveryCodesLeft.ShouldBe(0);
        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task RecoveryCodes_Renewed_TakeThePlaceOfTheOldOnes()
    {
        var (key, secret, old) = await Doorway.AddPairedAsync();
        var actor = await InAsync(key, secret);
        (await Factors.RenewRecoveryCodesAsync(actor, Doorway.Visitor, "not the password at all", Ct)).IsAccepted.ShouldBeFalse();

        var fresh = (await Factors.RenewRecoveryCodesAsync(actor, Doorway.Visitor, Doorway.Password, Ct)).Value;

        (await Doorway.Door.TryRecoveryCodeAsync(key, old[0], Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryRecoveryCodeAsync(key, fresh[0], Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
        (await Own.GetAsync(actor, Ct)).RecoveryCodesLeft.ShouldBe(RecoveryCodes.Count - 1);
        (await Doorway.CountRecordedAsync(key, "recovery-codes-renewed")).ShouldBe(1);
    }

    [Fact]
    public void SealedSecret_IsOpenedForItsPersonOnly()
    {
        var seal = new PairingSeal(Doorway.Protection);
        var (person, other) = (Guid.CreateVersion7(), Guid.CreateVersion7());
        var secret = AuthenticatorCodes.NewSecret();
        var closed = seal.Seal(person, secret);

        closed.ShouldNotContain(secret);
        seal.OpenOrNew(person, closed).ShouldBe(secret);
        seal.OpenOrNew(other, closed).ShouldNotBe(secret);
        seal.OpenOrNew(person, "damaged").ShouldNotBe(secret);
    }

    /// <summary>The refused field, or null.</summary>
    private async Task<string?> PairAsync(Actor actor, string password, string currentCode, string secret, string? newCode = null)
    {
        var code = newCode ?? Doorway.CodeOf(secret);
        var paired = await Factors.PairAsync(actor, Doorway.Visitor, password, currentCode, secret, code, Ct);
        return paired.IsAccepted ? null : paired.Refusals[0].Field;
    }

    private async Task<(Actor Actor, PersonKey Key)> SignInAsync(Role role = Role.Clinician)
    {
        var key = await Doorway.AddAsync(role);
        var claims = (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>().Claims;
        return ((await _store.Db.FindActorAsync(claims.PersonId, claims.SignInId, Ct))!, key);
    }

    private async Task<Actor> InAsync(PersonKey key, string secret)
    {
        var answer = await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct);
        var claims = answer.ShouldBeOfType<DoorAnswer.In>().Claims;
        return (await _store.Db.FindActorAsync(claims.PersonId, claims.SignInId, Ct))!;
    }

    private async Task<SignInEnd?> EndOfAsync(Guid signInId)
    {
        await using var context = _store.ContextA();
        return (await context.SignIns.SingleAsync(row => row.Id == signInId, Ct)).EndedWhy;
    }
}
