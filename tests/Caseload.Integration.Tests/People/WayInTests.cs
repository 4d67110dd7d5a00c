using System.Security.Cryptography;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.People;
using Caseload.Web.Platform.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.People;

public sealed class WayInTests(MigratedPostgres postgres) : PeopleSteps(postgres)
{
    [Fact]
    public async Task Invitation_Made_IsShownOnceAndStoredAsHashesUntilItsDay()
    {
        var id = await AddAsync(Form("rosa@example.org", Role.TeamLead));

        var slip = (await InviteAsync(id)).Slip.ShouldNotBeNull();

        var stored = (await InvitationsAsync(id)).Single();
        stored.LinkHash.ShouldBe(OneTimeSecret.HashOfLink(slip.LinkSecret));
        stored.CodeHash.ShouldBe(OneTimeSecret.HashOfCode(slip.Code));
        stored.ExpiresAt.ShouldBe(Store.Time.GetUtcNow().AddDays(AccessPolicy.Default.InvitationDays));
        (slip.Email, slip.ProgrammeName).ShouldBe(("rosa@example.org", "Programme A"));
        slip.GoodUntilAt.Offset.ShouldBe(TimeSpan.FromHours(-6));
        var view = await GetAsync(id);
        (view.Status, view.InvitedThroughOn).ShouldBe((PersonStatus.Invited, StoreFixture.TodayOn.AddDays(7)));
        (await CountEntriesAsync("person-invited")).ShouldBe(1);
    }

    [Fact]
    public async Task Invitation_MadeAgain_ClosesTheOlderOne()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));
        await InviteAsync(id);
        Store.Time.Advance(TimeSpan.FromMinutes(2));

        var slip = (await InviteAsync(id)).Slip.ShouldNotBeNull();

        var stored = await InvitationsAsync(id);
        stored.Count.ShouldBe(2);
        stored.Single(row => row.ClosedAt is null).LinkHash.ShouldBe(OneTimeSecret.HashOfLink(slip.LinkSecret));
        slip.Email.ShouldBeNull();
    }

    [Fact]
    public async Task Invitation_MadeAtOnceByTwo_LeavesOneOpen()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));

        await Task.WhenAll(InviteAsync(id), InviteAsync(id));

        (await InvitationsAsync(id)).Count(row => row.ClosedAt is null).ShouldBe(1);
    }

    [Fact]
    public async Task Invitation_NotTakenUp_RunsOut()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));
        await InviteAsync(id);
        Store.Time.Advance(TimeSpan.FromDays(7));
        var administrator = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Administrator]);

        var view = await GetAsync(id, administrator);

        (view.Status, view.InvitedThroughOn).ShouldBe((PersonStatus.InvitationOver, null));
    }

    [Theory]
    [Trait("Requirement", "SEC-08")]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Renewal_KeepsTheSecondFactorUnlessItIsSaidToBeLost(bool isLost)
    {
        var person = await AddWithSecondFactorAsync();

        (await InviteAsync(person.PersonId, isLost)).Slip.ShouldNotBeNull();

        var stored = await StoredAsync(person.PersonId);
        stored.FailureCount.ShouldBe(0);
        (stored.AuthenticatorSecret is null).ShouldBe(isLost);
        stored.PasswordHash.ShouldNotBeNull();
        await using var context = Store.ContextA();
        (await context.PersonPasskeys.CountAsync(row => row.PersonId == person.PersonId, Ct)).ShouldBe(isLost ? 0 : 1);
        (await context.RecoveryCodes.CountAsync(row => row.PersonId == person.PersonId, Ct)).ShouldBe(isLost ? 0 : 1);
        (await CountEntriesAsync("second-factor-removed")).ShouldBe(isLost ? 1 : 0);
        (await SignInAsync(person.SignInId)).EndedWhy.ShouldBe(isLost ? SignInEnd.RightsChanged : null);
        Announced.ShouldBe(isLost ? [person.SignInId] : []);
    }

    [Fact]
    [Trait("Requirement", "SEC-08")]
    public async Task Renewal_OfOneself_IsRefused()
    {
        var outcome = await InviteAsync(Administrator.PersonId, isSecondFactorLost: true);

        outcome.Slip.ShouldBeNull();
        outcome.Refusals.Single().Message.ShouldContain("account page");
        (await InvitationsAsync(Administrator.PersonId)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Invitation_OfADisabledPerson_IsRefused()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));
        await DisableAsync(id);

        (await InviteAsync(id)).Refusals.Single().Message.ShouldContain("Enable them first");
        (await InvitationsAsync(id)).ShouldBeEmpty();
    }

    [Fact]
    public async Task Disabled_Person_IsSignedOutAndTheirInvitationIsClosed()
    {
        var person = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);
        var stamp = (await StoredAsync(person.PersonId)).SecurityStamp;
        await InviteAsync(person.PersonId);

        (await DisableAsync(person.PersonId)).ShouldBeEmpty();

        (await SignInAsync(person.SignInId)).EndedWhy.ShouldBe(SignInEnd.Disabled);
        (await InvitationsAsync(person.PersonId)).ShouldAllBe(row => row.ClosedAt != null);
        var stored = await StoredAsync(person.PersonId);
        stored.DisabledAt.ShouldBe(Store.Time.GetUtcNow());
        stored.SecurityStamp.ShouldNotBe(stamp);
        Announced.ShouldBe([person.SignInId]);
        (await IsActiveClinicianAsync(person.PersonId)).ShouldBeFalse();
        (await Store.Db.FindActorAsync(person.PersonId, person.SignInId, Ct)).ShouldBeNull();

        (await DisableAsync(person.PersonId, isDisabled: false)).ShouldBeEmpty();

        (await StoredAsync(person.PersonId)).DisabledAt.ShouldBeNull();
        (await IsActiveClinicianAsync(person.PersonId)).ShouldBeTrue();
        (await Store.Db.FindActorAsync(person.PersonId, person.SignInId, Ct)).ShouldBeNull();
    }

    [Fact]
    public async Task Disabling_OfOneselfOrTheLastAdministrator_IsRefused()
    {
        (await DisableAsync(Administrator.PersonId)).Single().ShouldContain("last administrator");

        await Store.AddPersonAsync(Store.ProgrammeA, [Role.Administrator]);

        (await DisableAsync(Administrator.PersonId)).Single().ShouldContain("Nobody disables themselves");
        (await StoredAsync(Administrator.PersonId)).DisabledAt.ShouldBeNull();
    }

    [Fact]
    [Trait("Requirement", "SEC-17")]
    public async Task SignIn_EndedByAnAdministrator_HoldsNoMore()
    {
        var person = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);
        var other = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);
        var row = (await GetAsync(person.PersonId)).SignIns.Single();
        (row.Id, row.Device, row.Address).ShouldBe((person.SignInId, "a test", "192.0.2.1"));

        (await EndAsync(person.PersonId, other.SignInId)).ShouldBe(0);
        (await EndAsync(person.PersonId, person.SignInId)).ShouldBe(1);

        (await Store.Db.FindActorAsync(person.PersonId, person.SignInId, Ct)).ShouldBeNull();
        (await Store.Db.FindActorAsync(other.PersonId, other.SignInId, Ct)).ShouldNotBeNull();
        (await SignInAsync(person.SignInId)).EndedWhy.ShouldBe(SignInEnd.EndedByAdministrator);
        (await GetAsync(person.PersonId)).SignIns.ShouldBeEmpty();
        Announced.ShouldBe([person.SignInId]);
        (await EndAsync(person.PersonId, person.SignInId)).ShouldBe(0);
        (await CountEntriesAsync("sign-ins-ended")).ShouldBe(1);
    }

    [Fact]
    [Trait("Requirement", "SEC-17")]
    public async Task SignIns_EndedAll_LeaveNone()
    {
        var person = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);

        (await EndAsync(person.PersonId, null)).ShouldBe(1);

        (await Store.Db.FindActorAsync(person.PersonId, person.SignInId, Ct)).ShouldBeNull();
    }

    private Task<int> EndAsync(Guid personId, Guid? signInId) =>
        new EndSignInsHandler(Store.Db, Switchboard, Store.Time).HandleAsync(Administrator, new EndSignIns(personId, signInId), Ct);

    private async Task<List<Invitation>> InvitationsAsync(Guid personId)
    {
        await using var context = Store.ContextA();
        return await context.Invitations.AsNoTracking().Where(row => row.PersonId == personId).ToListAsync(Ct);
    }

    private async Task<bool> IsActiveClinicianAsync(Guid id)
    {
        await using var context = Store.ContextA();
        return await context.Clinicians.Where(row => row.Id == id).Select(row => row.IsActive).SingleAsync(Ct);
    }

    private async Task<Data.Actor> AddWithSecondFactorAsync()
    {
        var actor = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);
        await using var context = Store.ContextA();
        var person = await context.People.SingleAsync(row => row.Id == actor.PersonId, Ct);
        (person.PasswordHash, person.AuthenticatorSecret, person.FailureCount) = ("hash", "secret", 7);
        context.Add(
            new PersonPasskey
            {
                ProgrammeId = person.ProgrammeId,
                CredentialId = RandomNumberGenerator.GetBytes(16),
                PersonId = person.Id,
                Name = "Tablet",
                Content = "{}",
                CreatedAt = StoreFixture.NoonAt,
            }
        );
        context.Add(
            new RecoveryCode
            {
                ProgrammeId = person.ProgrammeId,
                Id = StoreFixture.NewId(),
                PersonId = person.Id,
                CodeHash = RandomNumberGenerator.GetBytes(32),
            }
        );
        await context.SaveChangesAsync(Ct);
        return actor;
    }
}
