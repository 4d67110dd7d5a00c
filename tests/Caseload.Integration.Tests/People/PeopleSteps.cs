using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.People;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.People;

/// <summary>What an administrator does, in a database of the test's own with one administrator and one team lead.</summary>
public abstract class PeopleSteps(MigratedPostgres postgres) : IAsyncLifetime
{
    protected static CancellationToken Ct => TestContext.Current.CancellationToken;

    protected StoreFixture Store { get; } = new(postgres);

    protected SignInSwitchboard Switchboard { get; } = new();

    /// <summary>The sign-ins that pages were told of.</summary>
    protected List<Guid> Announced { get; } = [];

    /// <summary>The programme's only administrator.</summary>
    protected Actor Administrator => Store.LeadA;

    public async ValueTask InitializeAsync()
    {
        await Store.InitializeAsync();
        Switchboard.Listen(Announced.Add);
    }

    public async ValueTask DisposeAsync()
    {
        await Store.DisposeAsync();
        GC.SuppressFinalize(this);
    }

    protected static PersonForm Form(string signInName, params Role[] roles) =>
        new()
        {
            Name = "Rosa Lindqvist",
            SignInName = signInName,
            Roles = [.. roles],
            Initials = "RL",
        };

    protected Task<SavePersonOutcome> SaveAsync(Guid id, uint? rowVersion, PersonForm form, Actor? actor = null) =>
        new SavePersonHandler(Store.Db, Switchboard, Store.Time).HandleAsync(
            actor ?? Administrator,
            new SavePerson(id, rowVersion, form),
            Ct
        );

    protected async Task<Guid> AddAsync(PersonForm form)
    {
        var id = StoreFixture.NewId();
        (await SaveAsync(id, null, form)).ShouldBeOfType<SavePersonOutcome.Saved>();
        return id;
    }

    protected async Task<SavePersonOutcome> ChangeAsync(Guid id, Action<PersonForm> change, Actor? actor = null)
    {
        var view = await GetAsync(id, actor);
        change(view.Form);
        return await SaveAsync(id, view.RowVersion, view.Form, actor);
    }

    protected async Task<PersonView> GetAsync(Guid id, Actor? actor = null) =>
        (await new GetPersonHandler(Store.Db, Store.Time).HandleAsync(actor ?? Administrator, new GetPerson(id), Ct))!;

    protected async Task<IReadOnlyList<string>> DisableAsync(Guid id, bool isDisabled = true, Actor? actor = null) =>
        [
            .. (
                await new DisablePersonHandler(Store.Db, Switchboard, Store.Time).HandleAsync(
                    actor ?? Administrator,
                    new DisablePerson(id, isDisabled),
                    Ct
                )
            ).Select(refusal => refusal.Message),
        ];

    protected Task<InvitePersonOutcome> InviteAsync(Guid id, bool isSecondFactorLost = false) =>
        new InvitePersonHandler(Store.Db, Switchboard, Store.Time).HandleAsync(Administrator, new InvitePerson(id, isSecondFactorLost), Ct);

    protected async Task<Person> StoredAsync(Guid id)
    {
        await using var context = Store.ContextA();
        return await context.People.AsNoTracking().SingleAsync(row => row.Id == id, Ct);
    }

    protected async Task<SignIn> SignInAsync(Guid id)
    {
        await using var context = Store.ContextA();
        return await context.SignIns.AsNoTracking().SingleAsync(row => row.Id == id, Ct);
    }

    protected async Task<int> CountEntriesAsync(string what)
    {
        await using var context = Store.ContextA();
        return await context.AccessEntries.CountAsync(row => row.What == what && row.PersonId == Administrator.PersonId, Ct);
    }
}
