using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Account;

[Trait("Requirement", "SEC-14")]
public sealed class SignInLifeTests(MigratedPostgres postgres) : IAsyncLifetime
{
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
    public async Task SignIn_WithoutActivity_EndsAfterTheIdleTime()
    {
        var claims = await SignInAsync();
        _store.Time.Advance(TimeSpan.FromMinutes(15) - TimeSpan.FromSeconds(1));
        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldNotBeNull();

        _store.Time.Advance(TimeSpan.FromSeconds(1));

        (await _store.Db.FindActorAsync(claims.PersonId, claims.SignInId, Ct)).ShouldBeNull();
        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldBeNull();
        (await EndAsync(claims)).ShouldBe(SignInEnd.Idle);
    }

    [Fact]
    public async Task SignIn_WithActivity_LastsUntilItsLongestTime()
    {
        var claims = await SignInAsync();
        for (var minutes = 0; minutes < 12 * 60 - 10; minutes += 10)
        {
            _store.Time.Advance(TimeSpan.FromMinutes(10));
            await Doorway.Keeper.NoteActivityAsync(claims, Ct);
        }
        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldNotBeNull();

        _store.Time.Advance(TimeSpan.FromMinutes(10));

        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldBeNull();
        (await EndAsync(claims)).ShouldBe(SignInEnd.Expired);
    }

    [Fact]
    public async Task Times_AreThoseOfTheProgramme()
    {
        await Doorway.SetPolicyAsync(AccessPolicy.Default with { IdleMinutes = 60, SignInHours = 1, CliniciansNeedSecondFactor = false });
        var claims = await SignInAsync();
        _store.Time.Advance(TimeSpan.FromMinutes(59));
        await Doorway.Keeper.NoteActivityAsync(claims, Ct);
        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldNotBeNull();

        _store.Time.Advance(TimeSpan.FromMinutes(1));

        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldBeNull();
    }

    [Fact]
    public async Task Activity_AfterTheEnd_BringsNothingBack()
    {
        var claims = await SignInAsync();
        _store.Time.Advance(TimeSpan.FromMinutes(16));

        await Doorway.Keeper.NoteActivityAsync(claims, Ct);

        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldBeNull();
    }

    [Fact]
    [Trait("Requirement", "SEC-15")]
    public async Task SigningOut_EndsTheSignInForGoodAndTellsOpenPages()
    {
        var claims = await SignInAsync();
        var other = await SignInAsync();
        var ended = new List<Guid>();
        using var line = Doorway.Switchboard.Listen(ended.Add);

        await Doorway.Keeper.EndAsync(claims, SignInEnd.SignedOut, Ct);

        ended.ShouldBe([claims.SignInId]);
        (await Doorway.Keeper.FindAsync(claims, Ct)).ShouldBeNull();
        (await EndAsync(claims)).ShouldBe(SignInEnd.SignedOut);
        (await Doorway.Keeper.FindAsync(other, Ct)).ShouldNotBeNull();
        (await Doorway.CountRecordedAsync(new PersonKey(_store.ProgrammeA, claims.PersonId), "signed-out")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-15")]
    public async Task Claims_OfAnotherPersonsSignIn_AreNobody()
    {
        var claims = await SignInAsync();
        var other = await SignInAsync();

        (await _store.Db.FindActorAsync(other.PersonId, claims.SignInId, Ct)).ShouldBeNull();
    }

    private async Task<SignInClaims> SignInAsync() =>
        (await Doorway.TryAsync(await Doorway.AddAsync())).ShouldBeOfType<DoorAnswer.In>().Claims;

    private async Task<SignInEnd?> EndAsync(SignInClaims claims)
    {
        await using var context = _store.ContextA();
        return (await context.SignIns.SingleAsync(row => row.Id == claims.SignInId, Ct)).EndedWhy;
    }
}
