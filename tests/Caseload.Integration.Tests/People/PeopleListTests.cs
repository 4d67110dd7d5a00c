using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Integration.Tests.Store;
using Caseload.Web.Features.People;

namespace Caseload.Integration.Tests.People;

public sealed class PeopleListTests(MigratedPostgres postgres) : PeopleSteps(postgres)
{
    [Fact]
    public async Task List_Always_SaysHowItStandsWithEverybodyOfTheProgramme()
    {
        var invited = await AddAsync(Form("rosa", Role.Clinician));
        await InviteAsync(invited);
        var disabled = await AddAsync(Form("otto", Role.Observer));
        await DisableAsync(disabled);

        var rows = await new ListPeopleHandler(Store.Db, Store.Time).HandleAsync(Administrator, new ListPeople(), Ct);

        rows.Count.ShouldBe(3);
        var row = rows.Single(person => person.Id == invited);
        (row.Status, row.InvitedThroughOn, row.Discipline, row.LastSeenOn).ShouldBe(
            (PersonStatus.Invited, StoreFixture.TodayOn.AddDays(7), Discipline.OccupationalTherapy, null)
        );
        rows.Single(person => person.Id == disabled).Status.ShouldBe(PersonStatus.Disabled);
        rows.Single(person => person.Id == Administrator.PersonId).LastSeenOn.ShouldBe(StoreFixture.TodayOn);
    }

    [Fact]
    [Trait("Requirement", "SEC-47")]
    public async Task Report_Always_NamesEverybodyWithAccessAndSinceWhen()
    {
        var id = await AddAsync(Form("rosa", Role.Clinician));
        await DisableAsync(await AddAsync(Form("otto", Role.Observer)));
        Store.Time.Advance(TimeSpan.FromDays(3));
        var administrator = await Store.AddPersonAsync(Store.ProgrammeA, [Role.Administrator], "Zadie Admin");
        await ChangeAsync(id, form => form.Roles.Add(Role.TeamLead), administrator);
        Store.Time.Advance(TimeSpan.FromMinutes(5));

        var report = await new GetAccessReportHandler(Store.Db, Store.Time).HandleAsync(administrator, new GetAccessReport(), Ct);

        var today = StoreFixture.TodayOn.AddDays(3);
        (report.ProgrammeName, report.On).ShouldBe(("Programme A", today));
        report.Rows.Select(row => row.Name).ShouldBe(["Given Family", "Rosa Lindqvist", "Zadie Admin"]);
        var rosa = report.Rows[1];
        rosa.Roles.ShouldBe([Role.TeamLead, Role.Clinician]);
        (rosa.Discipline, rosa.AccountSinceOn, rosa.RolesSinceOn).ShouldBe((Discipline.OccupationalTherapy, StoreFixture.TodayOn, today));
        (report.Rows[2].AccountSinceOn, report.Rows[2].RolesSinceOn).ShouldBe((today, today));
    }
}
