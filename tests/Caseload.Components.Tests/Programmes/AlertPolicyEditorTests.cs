using Bunit;
using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Web.Features.Programmes;

namespace Caseload.Components.Tests.Programmes;

public sealed class AlertPolicyEditorTests : ComponentTest
{
    [Fact]
    public void Fields_OfferEveryNumberOfThePolicyOnce()
    {
        // The hour is chosen from a list.
        var numbers = typeof(AlertPolicy)
            .GetProperties()
            .Where(property => property.PropertyType == typeof(int) && property.Name != nameof(AlertPolicy.DigestHour))
            .Select(property => property.Name);

        AlertPolicyField.All.Select(field => field.Name).Order().ShouldBe(numbers.Order());
        foreach (var field in AlertPolicyField.All)
        {
            typeof(AlertPolicy).GetProperty(field.Name)!.GetValue(field.Write(AlertPolicy.Default, 77)).ShouldBe(77);
            field.DefaultWords.ShouldEndWith("our assumption, no source.");
        }
    }

    [Fact]
    public void Form_AsLoaded_ReadsBackTheSamePolicy()
    {
        var policy = AlertPolicy.Default with
        {
            ActDays = 5,
            DigestDay = DayOfWeek.Thursday,
            DigestHour = 18,
            MailNaming = MailNaming.CodeAndInitials,
        };

        AlertPolicyForm.Of(policy).Read().Value.ShouldBe(policy);
    }

    [Fact]
    public void Editor_ForWhoMayChangeIt_WritesIntoTheFormAndSaysTheDigestInWords()
    {
        var form = AlertPolicyForm.Defaults;
        var editor = Editor(form, mayChange: true);

        editor.Find("#alerts-SameDayHours").Input("2");
        editor.Find("#alerts-digest-day").Change("Friday");
        editor.Find("#alerts-digest-hour").Change("18");
        editor.FindAll("input[type=radio]")[1].Change("on");

        form.Read()
            .Value.ShouldBe(
                AlertPolicy.Default with
                {
                    SameDayHours = 2,
                    DigestDay = DayOfWeek.Friday,
                    DigestHour = 18,
                    MailNaming = MailNaming.CodeAndInitials,
                }
            );
        editor.Words().ShouldContain("Every Friday from 18:00 by the programme's clocks (America/Chicago).");
    }

    [Fact]
    public void Editor_ForOthers_IsToBeReadOnly()
    {
        var editor = Editor(AlertPolicyForm.Defaults, mayChange: false);

        editor.FindAll("fieldset").ShouldAllBe(fieldset => fieldset.HasAttribute("disabled"));
        editor.FindAll("button").ShouldBeEmpty();
        editor.Words().ShouldContain("A team lead may change these numbers");
    }

    [Fact]
    public void Form_WithAWord_RefusesItAtItsField()
    {
        var form = AlertPolicyForm.Defaults;
        form[AlertPolicyField.All[0]] = "eight";

        form.Read().Refusals.ShouldBe([new Refusal(nameof(AlertPolicy.NotVisitedWeeks), "Use a whole number.")]);
    }

    [Fact]
    public void Refusal_Always_StandsAtItsField() =>
        Editor(AlertPolicyForm.Defaults, true, new Refusal(nameof(AlertPolicy.WatchDays), "Use a whole number."))
            .Find("#alerts-WatchDays-problem")
            .Words()
            .ShouldBe("Use a whole number.");

    private IRenderedComponent<AlertPolicyEditor> Editor(AlertPolicyForm form, bool mayChange, params Refusal[] refusals) =>
        Render<AlertPolicyEditor>(editor =>
            editor
                .Add(e => e.Form, form)
                .Add(e => e.TimeZoneId, "America/Chicago")
                .Add(e => e.MayChange, mayChange)
                .Add(e => e.Refusals, refusals)
        );
}
