using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;

namespace Caseload.Integration.Tests.Account;

[Trait("Requirement", "SEC-12")]
public sealed class ThrottleTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Fact]
    public async Task Failures_OfEveryKind_CountTogether()
    {
        var (key, secret, recoveryCodes) = await Doorway.AddPairedAsync();

        await Doorway.FailAsync(key, 1);
        await Doorway.Door.TryCodeAsync(key, "000000", Doorway.Visitor, Ct);
        await Doorway.Door.TryCodeAsync(key, "not six digits", Doorway.Visitor, Ct);
        await Doorway.Door.TryRecoveryCodeAsync(key, "AAAA-AAAA-AAAA-AAAA", Doorway.Visitor, Ct);
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(4);
        await Doorway.Door.CountFailureAsync(key, "passkey", Doorway.Visitor, Ct);

        // Every way in is shut now, for the right credential as well.
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.Door.TryRecoveryCodeAsync(key, recoveryCodes[0], Doorway.Visitor, Ct)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(5);
        (await Doorway.CountRecordedAsync(key, "sign-in-failed")).ShouldBe(8);
    }

    [Fact]
    public async Task Lock_ReleasesByTheClock_AndLastsLongerTheNextTime()
    {
        await Doorway.AskNoSecondFactorAsync();
        var key = await Doorway.AddAsync();
        await Doorway.FailAsync(key, 5);

        _store.Time.Advance(TimeSpan.FromMinutes(5) - TimeSpan.FromSeconds(1));
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        _store.Time.Advance(TimeSpan.FromSeconds(1));
        await Doorway.FailAsync(key, 5);

        _store.Time.Advance(TimeSpan.FromMinutes(9));
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        _store.Time.Advance(TimeSpan.FromMinutes(1));
        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.In>();
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(0);
    }

    [Fact]
    public async Task RightPassword_BeforeTheCode_ForgetsNoFailure()
    {
        var (key, _, _) = await Doorway.AddPairedAsync();
        await Doorway.Door.TryCodeAsync(key, "000000", Doorway.Visitor, Ct);

        (await Doorway.TryAsync(key)).ShouldBeOfType<DoorAnswer.NeedsCode>();

        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(1);
    }

    [Fact]
    public async Task ManyAttemptsAtOnce_AreNoMoreThanManyInTurn()
    {
        var key = await Doorway.AddAsync();
        var name = (await Doorway.ReadAsync(key)).SignInName;

        var answers = await Task.WhenAll(
            Enumerable
                .Range(0, 20)
                .Select(number => Doorway.Door.TryPasswordAsync(name, $"wrong password number {number}", Doorway.Visitor, Ct))
        );

        answers.ShouldAllBe(answer => answer is DoorAnswer.Refused);
        // The fifth shuts the door; the fifteen behind it try nothing, and are all on record.
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(FailureThrottle.FailuresPerLock);
        (await Doorway.CountRecordedAsync(key, "sign-in-failed")).ShouldBe(20);
    }

    [Fact]
    public async Task HundredFailures_ShutTheDoorUntilAnAdministratorOpensIt()
    {
        await Doorway.AskNoSecondFactorAsync();
        var key = await Doorway.AddAsync();
        await Doorway.ChangeAsync(
            key,
            person =>
            {
                person.FailureCount = FailureThrottle.FailuresToStop - 1;
                person.LastFailureAt = _store.Time.GetUtcNow();
            }
        );
        await Doorway.FailAsync(key, 1);

        _store.Time.Advance(TimeSpan.FromDays(365));

        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.ReadAsync(key)).FailureCount.ShouldBe(FailureThrottle.FailuresToStop);
    }
}
