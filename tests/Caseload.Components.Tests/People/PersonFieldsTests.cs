using Bunit;
using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Features.People;
using Caseload.Web.Ui;

namespace Caseload.Components.Tests.People;

public sealed class PersonFieldsTests : ComponentTest
{
    private readonly List<string> _changed = [];

    [Fact]
    public void Roles_Always_SayWhatTheyMean()
    {
        var fields = Fields(new PersonForm());

        fields.AllWords("label.role strong").ShouldBe(["Administrator", "Team lead", "Clinician", "Observer"]);
        fields.FindAll("label.role .quiet").ShouldAllBe(meaning => meaning.TextContent.EndsWith('.'));
        fields.FindAll("#initials").ShouldBeEmpty();
    }

    [Fact]
    public void Clinician_WhenTicked_IsAskedForMore()
    {
        var form = new PersonForm();
        var fields = Fields(form);

        fields.FindAll("label.role input")[2].Change(true);
        fields.Find("#initials").Input("RL");
        fields.Find("#languages").Input("Spanish, zh-hans");

        form.Roles.ShouldBe([Role.Clinician]);
        form.Initials.ShouldBe("RL");
        fields.AllWords(".languages .tag").ShouldBe(["Spanish (es)", "Chinese (Simplified) (zh-Hans)"]);
        _changed.ShouldBe(["roles", "initials", "languages"]);
    }

    [Fact]
    public void WorkingDays_AtFirst_AreTheWeekdaysAndCanBeSwitched()
    {
        var form = new PersonForm { Roles = [Role.Clinician] };
        var fields = Fields(form);

        fields
            .FindAll(".day")
            .Select(day => day.GetAttribute("aria-pressed"))
            .ShouldBe(["true", "true", "true", "true", "true", "false", "false"]);
        fields.Control("Saturday").Click();
        fields.Control("Monday").Click();

        fields.Control("Saturday").GetAttribute("aria-pressed").ShouldBe("true");
        form.WorkingDays.Order()
            .ShouldBe([DayOfWeek.Tuesday, DayOfWeek.Wednesday, DayOfWeek.Thursday, DayOfWeek.Friday, DayOfWeek.Saturday]);
    }

    [Fact]
    public void ClinicianRole_Taken_WarnsOfTheChildrenThatStay()
    {
        var fields = Fields(new PersonForm { Roles = [Role.Clinician] }, openChildCount: 3);
        fields.FindAll(".age-caution").ShouldBeEmpty();

        fields.FindAll("label.role input")[2].Change(false);

        fields.Find(".age-caution").Words().ShouldStartWith("3 children still have this person as clinician.");
    }

    [Theory]
    [InlineData("sign-in-name")]
    [InlineData("roles")]
    [InlineData("languages")]
    [InlineData("working-days")]
    public void Refusal_Always_StandsAtItsField(string field)
    {
        var fields = Fields(new PersonForm { Roles = [Role.Clinician] }, refusals: new Refusal(field, "Not like this."));

        fields.AllWords("[role=alert]").ShouldBe(["Not like this."]);
    }

    private IRenderedComponent<PersonFields> Fields(PersonForm form, int openChildCount = 0, params Refusal[] refusals) =>
        Render<PersonFields>(fields =>
            fields
                .Add(f => f.Form, form)
                .Add(f => f.Refusals, refusals)
                .Add(f => f.WasClinician, form.IsClinician)
                .Add(f => f.OpenChildCount, openChildCount)
                .Add(f => f.OnChange, field => _changed.Add(field))
        );
}

public sealed class PersonFormTests
{
    [Theory]
    [InlineData("", "rosa", "", "name")]
    [InlineData("Rosa", "r", "", "sign-in-name")]
    [InlineData("Rosa", "rosa lind", "", "sign-in-name")]
    [InlineData("Rosa", "rosa\ud800", "", "sign-in-name")]
    [InlineData("Rosa\0", "rosa", "", "name")]
    [InlineData("Rosa", "rosa", "not an address", "email")]
    [InlineData("Rosa", "rosa", "Rosa <rosa@example.org>", "email")]
    [InlineData("Rosa", "rosa", "rosa@example.org\r\nBcc: all@example.org", "email")]
    public void Form_WithAFault_NamesTheField(string name, string signInName, string email, string field)
    {
        var form = new PersonForm
        {
            Name = name,
            SignInName = signInName,
            Email = email,
            Roles = [Role.Observer],
        };

        form.Check().Refusals.Single().Field.ShouldBe(field);
    }

    [Fact]
    public void Form_WithoutARole_IsRefused() =>
        new PersonForm { Name = "Rosa", SignInName = "rosa" }
            .Check()
            .Refusals.Single()
            .Field.ShouldBe("roles");

    [Fact]
    public void Clinician_WithoutInitialsOrDays_IsRefusedAtBoth() =>
        new PersonForm
        {
            Name = "Rosa",
            SignInName = "rosa",
            Roles = [Role.Clinician],
            WorkingDays = [],
        }
            .Check()
            .Refusals.Select(refusal => refusal.Field)
            .ShouldBe(["initials", "working-days"]);

    [Theory]
    [InlineData("es, PL", new[] { "es", "pl" })]
    [InlineData("Spanish; es ,", new[] { "es" })]
    [InlineData("hmn, es-419", new[] { "hmn", "es-419" })]
    [InlineData("", new string[0])]
    public void Languages_WrittenAsTagsOrNames_AreRead(string typed, string[] tags) =>
        LanguageTags.Read(typed, "languages").Value.ShouldBe(tags);

    [Theory]
    [InlineData("xx")]
    [InlineData("Klingonish")]
    [InlineData("e")]
    [InlineData("es_MX")]
    public void Languages_ThatAreNone_AreRefused(string typed) =>
        LanguageTags.Read(typed, "languages").Refusals.Single().Field.ShouldBe("languages");
}
