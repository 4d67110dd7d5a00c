using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Account;

public sealed class SecondFactorTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Theory]
    [InlineData(Role.Administrator)]
    [InlineData(Role.TeamLead)]
    [InlineData(Role.Clinician)]
    [InlineData(Role.Observer)]
    [Trait("Requirement", "SEC-08")]
    public async Task PasswordAlone_WhereASecondFactorIsAsked_LetsNobodyIn(Role role)
    {
        var key = await Doorway.AddAsync(role);
        var open = await Doorway.CountOpenAsync(key);

        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.NeedsSecondFactor(key));

        (await Doorway.CountOpenAsync(key)).ShouldBe(open);
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Pairing_WithAWrongCode_ChangesNothing()
    {
        var key = await Doorway.AddAsync();

        (await Doorway.Door.PairAsync(key, AuthenticatorCodes.NewSecret(), "000000", Doorway.Visitor, Ct)).ShouldBeNull();

        (await Doorway.ReadAsync(key)).AuthenticatorSecret.ShouldBeNull();
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.NeedsSecondFactor(key));
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Pairing_OverAnAuthenticatorThatIsThere_IsRefused()
    {
        var (key, _, _) = await Doorway.AddPairedAsync();
        var before = (await Doorway.ReadAsync(key)).AuthenticatorSecret;
        var secret = AuthenticatorCodes.NewSecret();

        (await Doorway.Door.PairAsync(key, secret, Doorway.CodeOf(secret), Doorway.Visitor, Ct)).ShouldBeNull();

        (await Doorway.ReadAsync(key)).AuthenticatorSecret.ShouldBe(before);
        (await Doorway.Door.FindUnpairedAsync(key, Ct)).ShouldBeNull();
    }

    [Fact]
    public async Task AuthenticatorSecret_IsStoredEncrypted()
    {
        var (key, secret, _) = await Doorway.AddPairedAsync();

        (await Doorway.ReadAsync(key)).AuthenticatorSecret.ShouldNotBeNull().ShouldNotContain(secret);
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task Code_UsedAgain_IsRefused()
    {
        var (key, secret, _) = await Doorway.AddPairedAsync();
        var code = Doorway.CodeOf(secret);

        (await Doorway.Door.TryCodeAsync(key, code, Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
        (await Doorway.Door.TryCodeAsync(key, code, Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());

        _store.Time.Advance(TimeSpan.FromSeconds(30));
        (await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task Code_OfTwoRequestsAtOnce_LetsInOnce()
    {
        var (key, secret, _) = await Doorway.AddPairedAsync();
        var code = Doorway.CodeOf(secret);

        var answers = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Doorway.Door.TryCodeAsync(key, code, Doorway.Visitor, Ct)));

        answers.Count(answer => answer is DoorAnswer.In).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task RecoveryCode_IsGoodOnce_AlsoForTwoRequestsAtOnce()
    {
        var (key, _, codes) = await Doorway.AddPairedAsync();

        var answers = await Task.WhenAll(
            Enumerable.Range(0, 4).Select(_ => Doorway.Door.TryRecoveryCodeAsync(key, codes[3].ToLowerInvariant(), Doorway.Visitor, Ct))
        );

        answers.Count(answer => answer is DoorAnswer.In).ShouldBe(1);
        (await Doorway.Door.TryRecoveryCodeAsync(key, codes[3], Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryRecoveryCodeAsync(key, codes[4], Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task RecoveryCodes_AreStoredAsHashesOnly()
    {
        var (key, _, codes) = await Doorway.AddPairedAsync();
        await using var context = _store.ContextA();

        var stored = await context.RecoveryCodes.Where(row => row.PersonId == key.PersonId).ToListAsync(Ct);

        stored.Count.ShouldBe(RecoveryCodes.Count);
        stored.ShouldAllBe(row => row.CodeHash.Length == 32 && row.UsedAt == null);
        stored
            .Select(row => Convert.ToHexString(row.CodeHash))
            .ShouldBe(codes.Select(code => Convert.ToHexString(RecoveryCodes.HashOf(code)!)), ignoreOrder: true);
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task RecoveryCode_OfSomebodyElse_IsRefused()
    {
        var (_, _, codes) = await Doorway.AddPairedAsync();
        var (other, _, _) = await Doorway.AddPairedAsync();

        (await Doorway.Door.TryRecoveryCodeAsync(other, codes[0], Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task SignIn_SaysHowThePersonProvedIt()
    {
        var (key, secret, codes) = await Doorway.AddPairedAsync();

        await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct);
        await Doorway.Door.TryRecoveryCodeAsync(key, codes[0], Doorway.Visitor, Ct);

        await using var context = _store.ContextA();
        var methods = await context
            .SignIns.Where(row => row.PersonId == key.PersonId && row.Address == Doorway.Visitor.Address)
            .Select(row => row.Method)
            .ToListAsync(Ct);
        methods.ShouldBe(
            [SignInMethod.PasswordAndCode, SignInMethod.PasswordAndCode, SignInMethod.PasswordAndRecoveryCode],
            ignoreOrder: true
        );
    }
}
