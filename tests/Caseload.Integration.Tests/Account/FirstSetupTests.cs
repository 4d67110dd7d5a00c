using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Setup;
using Caseload.Integration.Tests.Store;
using Caseload.Testing;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Time.Testing;
using Npgsql;

namespace Caseload.Integration.Tests.Account;

[Trait("Requirement", "SEC-06")]
public sealed class FirstSetupTests(MigratedPostgres postgres) : IAsyncLifetime
{
    private readonly FakeTimeProvider _time = new(StoreFixture.NoonAt);
    private TestDatabase? _database;
    private NpgsqlDataSource? _source;
    private CaseloadDb? _db;

    private static CancellationToken Ct => TestContext.Current.CancellationToken;

    private FirstSetup Setup => field ??= new FirstSetup(_db!, Doorway.HasherOf(1_000), _time);

    public async ValueTask InitializeAsync()
    {
        _database = await postgres.CreateDatabaseAsync();
        _source = CaseloadOptions.OpenDataSource(_database.AppConnectionString);
        _db = new CaseloadDb(CaseloadOptions.For(_source), _time);
    }

    public async ValueTask DisposeAsync()
    {
        await _source!.DisposeAsync();
        await _database!.DisposeAsync();
    }

    [Fact]
    public async Task EmptyInstallation_HasNobody() => (await CountPeopleAsync()).ShouldBe(0);

    [Fact]
    public async Task Link_SetsUpTheProgrammeAndItsFirstAdministratorOnce()
    {
        var secret = (await Setup.MakeLinkAsync(Ct)).ShouldNotBeNull();

        var key = (await Setup.CreateAsync(secret, Form(), Ct)).Value;

        await using var context = _db!.ForJob("test", key.ProgrammeId);
        var person = await context.People.SingleAsync(Ct);
        person.Id.ShouldBe(key.PersonId);
        person.Roles.ShouldBe([Role.Administrator]);
        (await Setup.CreateAsync(secret, Form(), Ct)).Refusals.Single().Field.ShouldBe("link");
        (await Setup.MakeLinkAsync(Ct)).ShouldBeNull();
        (await CountPeopleAsync()).ShouldBe(1);
    }

    [Fact]
    public async Task Link_OfTwoRequestsAtOnce_IsGoodForOne()
    {
        var secret = (await Setup.MakeLinkAsync(Ct))!;

        var answers = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => Setup.CreateAsync(secret, Form(), Ct)));

        answers.Count(answer => answer.IsAccepted).ShouldBe(1);
        answers.Where(answer => !answer.IsAccepted).ShouldAllBe(answer => answer.Refusals.Single().Field == "link");
        (await _db!.ListProgrammesAsync(Ct)).Count.ShouldBe(1);
        (await CountPeopleAsync()).ShouldBe(1);
    }

    [Fact]
    public async Task Link_WhenAFresherOneWasMade_IsGoodNoLonger()
    {
        var first = (await Setup.MakeLinkAsync(Ct))!;
        var second = (await Setup.MakeLinkAsync(Ct))!;

        (await Setup.IsGoodAsync(first, Ct)).ShouldBeFalse();
        (await Setup.IsGoodAsync(second, Ct)).ShouldBeTrue();
        (await Setup.IsGoodAsync("", Ct)).ShouldBeFalse();
    }

    [Fact]
    [Trait("Requirement", "SEC-09")]
    public async Task Form_ThatIsEmpty_IsRefusedAtEveryFieldAndKeepsTheLink()
    {
        var secret = (await Setup.MakeLinkAsync(Ct))!;

        var answer = await Setup.CreateAsync(secret, new FirstSetupForm(), Ct);

        answer.Refusals.Select(refusal => refusal.Field).ShouldBe(["programme", "time-zone", "name", "sign-in-name", "password"]);
        (await Setup.IsGoodAsync(secret, Ct)).ShouldBeTrue();
        (await CountPeopleAsync()).ShouldBe(0);
    }

    private static FirstSetupForm Form() =>
        new()
        {
            ProgrammeName = "Willow Team",
            TimeZoneId = "Europe/Dublin",
            Name = "First Person",
            SignInName = "first",
            Password = Doorway.Password,
        };

    private async Task<long> CountPeopleAsync() =>
        (long)(await StoreFixture.AskAsync(_database!.OwnerConnectionString, "select count(*) from people"))!;
}
