using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.Account;

public sealed class InvitationTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private const string NewPassword = "tangerine ferry notebook elm";

    private readonly StoreFixture _store = new(postgres);

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private Doorway Doorway => field ??= new Doorway(_store);

    private Welcome Welcome => field ??= new Welcome(_store.Db, Doorway.Hasher, Doorway.Switchboard, _store.Time);

    public ValueTask InitializeAsync() => _store.InitializeAsync();

    public ValueTask DisposeAsync() => _store.DisposeAsync();

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Invitation_ByLinkOrByCode_SetsThePassword(bool byLink)
    {
        var key = await Doorway.AddAsync();
        var (link, code) = await InviteAsync(key);
        var secret = byLink ? link : code.ToLowerInvariant().Replace('-', ' ');

        (await Welcome.FindAsync(secret, Ct)).ShouldNotBeNull().Person.ShouldBe(key);
        (await Welcome.AcceptAsync(secret, NewPassword, Doorway.Visitor, Ct)).IsAccepted.ShouldBeTrue();

        (await Doorway.TryAsync(key, NewPassword)).ShouldBeOfType<DoorAnswer.NeedsSecondFactor>();
        (await Doorway.TryAsync(key)).ShouldBe(new DoorAnswer.Refused());
        (await Doorway.CountRecordedAsync(key, "invitation-accepted")).ShouldBe(1);
    }

    [Fact]
    public async Task Invitation_IsGoodOnce_AlsoForTwoRequestsAtOnce()
    {
        var key = await Doorway.AddAsync();
        var (link, code) = await InviteAsync(key);

        var answers = await Task.WhenAll(
            Enumerable.Range(0, 4).Select(n => Welcome.AcceptAsync(n % 2 == 0 ? link : code, $"{NewPassword} {n}", Doorway.Visitor, Ct))
        );

        answers.Count(answer => answer.IsAccepted).ShouldBe(1);
        (await Welcome.FindAsync(link, Ct)).ShouldBeNull();
        (await Welcome.AcceptAsync(code, NewPassword, Doorway.Visitor, Ct)).Refusals.Single().Field.ShouldBe("code");
    }

    [Fact]
    public async Task Invitation_WhenItsTimeIsOver_IsRefused()
    {
        var key = await Doorway.AddAsync();
        var (link, code) = await InviteAsync(key);
        _store.Time.Advance(TimeSpan.FromDays(7) - TimeSpan.FromSeconds(1));
        (await Welcome.FindAsync(code, Ct)).ShouldNotBeNull();

        _store.Time.Advance(TimeSpan.FromSeconds(1));

        (await Welcome.FindAsync(link, Ct)).ShouldBeNull();
        (await Welcome.FindAsync(code, Ct)).ShouldBeNull();
        (await Welcome.AcceptAsync(link, NewPassword, Doorway.Visitor, Ct)).IsAccepted.ShouldBeFalse();
    }

    [Fact]
    public async Task Invitation_OfADisabledPerson_IsRefused()
    {
        var key = await Doorway.AddAsync();
        var (link, _) = await InviteAsync(key);
        await Doorway.ChangeAsync(key, person => person.DisabledAt = _store.Time.GetUtcNow());

        (await Welcome.AcceptAsync(link, NewPassword, Doorway.Visitor, Ct)).IsAccepted.ShouldBeFalse();
    }

    [Fact]
    [Trait("Requirement", "SEC-09")]
    public async Task Invitation_WithAPasswordThatIsRefused_StaysGood()
    {
        var key = await Doorway.AddAsync();
        var (link, _) = await InviteAsync(key);

        (await Welcome.AcceptAsync(link, "short", Doorway.Visitor, Ct)).Refusals.Single().Field.ShouldBe(PasswordRules.Field);

        (await Welcome.FindAsync(link, Ct)).ShouldNotBeNull();
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task RenewedPassword_StillAsksForTheSecondFactor()
    {
        var (key, secret, _) = await Doorway.AddPairedAsync();
        var (link, _) = await InviteAsync(key);

        (await Welcome.AcceptAsync(link, NewPassword, Doorway.Visitor, Ct)).IsAccepted.ShouldBeTrue();

        (await Doorway.TryAsync(key, NewPassword)).ShouldBe(new DoorAnswer.NeedsCode(key));
        (await Doorway.Door.FindUnpairedAsync(key, Ct)).ShouldBeNull();
        (await Doorway.Door.TryCodeAsync(key, Doorway.CodeOf(secret), Doorway.Visitor, Ct)).ShouldBeOfType<DoorAnswer.In>();
    }

    [Fact]
    [Trait("Requirement", "SEC-11")]
    public async Task Invitation_IsStoredAsHashesOnly()
    {
        var key = await Doorway.AddAsync();
        var (link, code) = await InviteAsync(key);
        await using var context = _store.ContextA();

        var row = await context.Invitations.SingleAsync(row => row.PersonId == key.PersonId, Ct);

        row.LinkHash.ShouldBe(OneTimeSecret.HashOfLink(link));
        row.CodeHash.ShouldBe(OneTimeSecret.HashOfCode(code));
        row.LinkHash.Length.ShouldBe(32);
    }

    [Theory]
    [InlineData("")]
    [InlineData("not a code")]
    [InlineData("AAAAA-AAAAA-AAAAA-AAAAA")]
    public async Task Invitation_ThatIsNone_IsNotFound(string secret) => (await Welcome.FindAsync(secret, Ct)).ShouldBeNull();

    private async Task<(string Link, string Code)> InviteAsync(PersonKey key)
    {
        var (link, code) = (OneTimeSecret.NewLink(), OneTimeSecret.NewCode());
        var at = _store.Time.GetUtcNow();
        await using var context = _store.ContextA();
        context.Add(
            new Invitation
            {
                ProgrammeId = key.ProgrammeId,
                Id = Guid.CreateVersion7(at),
                PersonId = key.PersonId,
                LinkHash = OneTimeSecret.HashOfLink(link)!,
                CodeHash = OneTimeSecret.HashOfCode(code)!,
                CreatedAt = at,
                ExpiresAt = at.AddDays(7),
            }
        );
        await context.SaveChangesAsync(Ct);
        return (link, code);
    }
}
