using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Data.Programmes;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.People;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Integration.Tests.People;

public sealed class SavePersonTests(MigratedPostgres postgres) : PeopleSteps(postgres)
{
    [Fact]
    public async Task Person_Added_HasNoWayInYet()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));

        var view = await GetAsync(id);
        (view.Status, view.Form.Name, view.Form.SignInName).ShouldBe((PersonStatus.NotInvited, "Rosa Lindqvist", "rosa"));
        (await StoredAsync(id)).PasswordHash.ShouldBeNull();
        (await CountEntriesAsync("person-added")).ShouldBe(1);
    }

    [Fact]
    public async Task Person_AddedTwiceUnderOneId_IsThereOnce()
    {
        var id = await AddAsync(Form("rosa", Role.TeamLead));

        (await SaveAsync(id, null, Form("rosa", Role.TeamLead))).ShouldBeOfType<SavePersonOutcome.Saved>();
        (await CountEntriesAsync("person-added")).ShouldBe(1);
    }

    [Theory]
    [Trait("Requirement", "SEC-06")]
    [InlineData("rosa")]
    [InlineData("ROSA")]
    public async Task SignInName_TakenInAnyProgramme_IsRefusedAtItsField(string again)
    {
        await using (var other = Store.ContextB())
        {
            other.Add(Person.New(Store.ProgrammeB, StoreFixture.NewId(), "Somebody", "Rosa", [Role.Observer], StoreFixture.NoonAt));
            await other.SaveChangesAsync(Ct);
        }
        var id = StoreFixture.NewId();

        var outcome = await SaveAsync(id, null, Form(again, Role.TeamLead));

        outcome.ShouldBeOfType<SavePersonOutcome.Refused>().Refusals.Single().Field.ShouldBe("sign-in-name");
        await using var context = Store.ContextA();
        (await context.People.AnyAsync(row => row.Id == id, Ct)).ShouldBeFalse();
    }

    [Theory]
    [Trait("Requirement", "SEC-06")]
    [InlineData("admin")]
    [InlineData("Reception")]
    [InlineData("info@example.org")]
    public async Task SignInName_OfADeskOrARole_IsRefused(string name) =>
        (await SaveAsync(StoreFixture.NewId(), null, Form(name, Role.Administrator)))
            .ShouldBeOfType<SavePersonOutcome.Refused>()
            .Refusals.Single()
            .Field.ShouldBe("sign-in-name");

    [Fact]
    public async Task ClinicianRole_Given_MakesAClinicianWithTheSameId()
    {
        var form = Form("rosa", Role.Clinician);
        form.Discipline = Discipline.PhysicalTherapy;
        form.Languages = "Spanish, PL";
        form.WorkingDays.Remove(DayOfWeek.Friday);

        var id = await AddAsync(form);

        (await StoredAsync(id)).ClinicianId.ShouldBe(id);
        var clinician = await ClinicianAsync(id);
        (clinician.Name, clinician.Initials, clinician.Discipline, clinician.IsActive).ShouldBe(
            ("Rosa Lindqvist", "RL", Discipline.PhysicalTherapy, true)
        );
        clinician.Languages.ShouldBe(["es", "pl"]);
        clinician.WorkingDays.ShouldBe([DayOfWeek.Monday, DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday]);
    }

    [Fact]
    public async Task ClinicianRole_GivenToSomebodyWhoHasAClinician_KeepsThatOne()
    {
        var clinicianId = StoreFixture.NewId();
        var id = await AddAsync(Form("rosa", Role.Observer));
        await using (var context = Store.ContextA())
        {
            context.Add(
                new Clinician
                {
                    ProgrammeId = Store.ProgrammeA,
                    Id = clinicianId,
                    Name = "R. L.",
                    Initials = "R",
                    Discipline = Discipline.Other,
                    IsActive = false,
                }
            );
            (await context.People.SingleAsync(row => row.Id == id, Ct)).ClinicianId = clinicianId;
            await context.SaveChangesAsync(Ct);
        }

        await ChangeAsync(id, form => form.Roles.Add(Role.Clinician));

        (await StoredAsync(id)).ClinicianId.ShouldBe(clinicianId);
        (await ClinicianAsync(clinicianId)).IsActive.ShouldBeTrue();
    }

    [Fact]
    public async Task ClinicianRole_TakenAndGivenAgain_SwitchesTheClinicianAndKeepsTheChildren()
    {
        var id = await AddAsync(Form("rosa", Role.Clinician));
        await using (var context = Store.ContextA())
        {
            (await StoreFixture.AddChildAsync(context)).ClinicianId = id;
            var closed = await StoreFixture.AddChildAsync(context);
            (closed.ClinicianId, closed.ClosedOn, closed.ClosingReason) = (id, StoreFixture.TodayOn, "Moved");
            await context.SaveChangesAsync(Ct);
        }
        (await GetAsync(id)).OpenChildCount.ShouldBe(1);

        await ChangeAsync(id, form => (form.Roles.Remove(Role.Clinician), form.Roles.Add(Role.Observer)).ShouldBe((true, true)));

        (await ClinicianAsync(id)).IsActive.ShouldBeFalse();
        (await GetAsync(id)).OpenChildCount.ShouldBe(1);

        await ChangeAsync(id, form => form.Roles.Add(Role.Clinician));

        (await ClinicianAsync(id)).IsActive.ShouldBeTrue();
    }

    [Fact]
    public async Task Roles_Changed_EndTheSignInsAndChangeTheStamp()
    {
        var clinician = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);
        var before = (await StoredAsync(clinician.PersonId)).SecurityStamp;

        (await ChangeAsync(clinician.PersonId, form => form.Roles.Add(Role.Observer))).ShouldBeOfType<SavePersonOutcome.Saved>();

        var signIn = await SignInAsync(clinician.SignInId);
        (signIn.EndedAt, signIn.EndedWhy).ShouldBe((Store.Time.GetUtcNow(), SignInEnd.RightsChanged));
        (await StoredAsync(clinician.PersonId)).SecurityStamp.ShouldNotBe(before);
        Announced.ShouldBe([clinician.SignInId]);
        (await CountEntriesAsync("roles-changed")).ShouldBe(1);
    }

    [Fact]
    public async Task Name_Changed_LeavesTheSignInsAlone()
    {
        var clinician = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Clinician]);

        await ChangeAsync(clinician.PersonId, form => form.Name = "Rosa Marsh");

        (await SignInAsync(clinician.SignInId)).EndedAt.ShouldBeNull();
        (await ClinicianAsync(clinician.PersonId)).Name.ShouldBe("Rosa Marsh");
        Announced.ShouldBeEmpty();
    }

    [Fact]
    public async Task AdministratorRole_OfTheLast_StaysWithThem()
    {
        var outcome = await ChangeAsync(Administrator.PersonId, form => form.Roles.Remove(Role.Administrator));

        outcome.ShouldBeOfType<SavePersonOutcome.Refused>().Refusals.Single().Message.ShouldContain("last administrator");
        (await StoredAsync(Administrator.PersonId)).Roles.ShouldContain(Role.Administrator);
        Announced.ShouldBeEmpty();
    }

    [Fact]
    public async Task AdministratorRole_TakenFromOneself_IsRefusedEvenWithAnother()
    {
        await Store.AddPersonAsync(Store.ProgrammeA, [Role.Administrator]);

        var outcome = await ChangeAsync(Administrator.PersonId, form => form.Roles.Remove(Role.Administrator));

        outcome.ShouldBeOfType<SavePersonOutcome.Refused>().Refusals.Single().Message.ShouldContain("from themselves");
    }

    [Fact]
    public async Task AdministratorRole_OfADisabledOne_DoesNotCountAsAnother()
    {
        var other = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Administrator]);
        (await DisableAsync(other.PersonId)).ShouldBeEmpty();

        var outcome = await ChangeAsync(Administrator.PersonId, form => form.Roles.Remove(Role.Administrator));

        outcome.ShouldBeOfType<SavePersonOutcome.Refused>().Refusals.Single().Message.ShouldContain("last administrator");
    }

    [Fact]
    public async Task AdministratorRole_TakenByTwoFromEachOtherAtOnce_LeavesOne()
    {
        var other = await Store.AddPersonAsync(Store.ProgrammeA, [Role.TeamLead, Role.Administrator]);

        var attempts = await Task.WhenAll(
            AttemptAsync(() => ChangeAsync(other.PersonId, form => form.Roles.Remove(Role.Administrator))),
            AttemptAsync(() => ChangeAsync(Administrator.PersonId, form => form.Roles.Remove(Role.Administrator), other))
        );

        attempts.Count(isSaved => isSaved).ShouldBe(1);
        await using var context = Store.ContextA();
        var left = await context.People.AsNoTracking().ToListAsync(Ct);
        left.Count(person => person.Roles.Contains(Role.Administrator)).ShouldBe(1);

        // Whoever comes second may find the own sign-in ended before the rule is even asked.
        static async Task<bool> AttemptAsync(Func<Task<SavePersonOutcome>> attempt)
        {
            try
            {
                return await attempt() is SavePersonOutcome.Saved;
            }
            catch (SignInEndedException)
            {
                return false;
            }
        }
    }

    [Fact]
    public async Task Person_SavedFromAnOldForm_IsChangedMeanwhile()
    {
        var id = await AddAsync(Form("rosa", Role.Observer));
        var seen = (await GetAsync(id)).RowVersion;
        await ChangeAsync(id, form => form.Name = "First");

        (await SaveAsync(id, seen, Form("rosa", Role.Observer))).ShouldBeOfType<SavePersonOutcome.ChangedMeanwhile>();
        (await StoredAsync(id)).Name.ShouldBe("First");
    }

    [Fact]
    public async Task People_ForAnybodyButAdministrators_AreRefused()
    {
        var lead = await Store.AddPersonAsync(Store.ProgrammeA, [Role.TeamLead]);

        await Should.ThrowAsync<AccessDeniedException>(() => SaveAsync(StoreFixture.NewId(), null, Form("rosa", Role.Administrator), lead));
        await Should.ThrowAsync<AccessDeniedException>(() => DisableAsync(Administrator.PersonId, actor: lead));
        await Should.ThrowAsync<AccessDeniedException>(() => GetAsync(Administrator.PersonId, lead));
    }

    private async Task<Clinician> ClinicianAsync(Guid id)
    {
        await using var context = Store.ContextA();
        return await context.Clinicians.AsNoTracking().SingleAsync(row => row.Id == id, Ct);
    }
}
