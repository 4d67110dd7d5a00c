using Bunit;
using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Features.Programmes;

namespace Caseload.Components.Tests.Programmes;

public sealed class AccessPolicyEditorTests : ComponentTest
{
    [Fact]
    public void Fields_OfferEveryNumberOfThePolicyOnce()
    {
        var numbers = typeof(AccessPolicy)
            .GetProperties()
            .Where(property => property.PropertyType == typeof(int))
            .Select(property => property.Name);

        AccessPolicyField.All.Select(field => field.Name).Order().ShouldBe(numbers.Order());
        foreach (var field in AccessPolicyField.All)
        {
            typeof(AccessPolicy).GetProperty(field.Name)!.GetValue(field.Write(AccessPolicy.Default, 77)).ShouldBe(77);
        }
    }

    [Fact]
    public void Form_AsLoaded_ReadsBackTheSamePolicy()
    {
        var policy = AccessPolicy.Default with { IdleMinutes = 30, CliniciansNeedSecondFactor = false };

        AccessPolicyForm.Of(policy).Read().Value.ShouldBe(policy);
    }

    [Fact]
    public void Editor_ForWhoMayChangeIt_WritesIntoTheForm()
    {
        var form = AccessPolicyForm.Defaults;
        var editor = Editor(form, mayChange: true);

        editor.Find("#access-IdleMinutes").Input("25");
        editor.FindAll("input[type=checkbox]")[3].Change(false);

        form.Read().Value.ShouldBe(AccessPolicy.Default with { IdleMinutes = 25, ObserversNeedSecondFactor = false });
        editor.FindAll(".hint").Count(hint => hint.TextContent.Contains("our assumption")).ShouldBe(7);
    }

    [Fact]
    public void Editor_ForOthers_IsToBeReadOnly()
    {
        var editor = Editor(AccessPolicyForm.Defaults, mayChange: false);

        editor.FindAll("fieldset").ShouldAllBe(fieldset => fieldset.HasAttribute("disabled"));
        editor.FindAll("button").ShouldBeEmpty();
        editor.Words().ShouldContain("An administrator may change these rules");
    }

    [Fact]
    public void Refusal_Always_StandsAtItsField() =>
        Editor(AccessPolicyForm.Defaults, true, new Refusal(nameof(AccessPolicy.ReasonHours), "Use a whole number."))
            .Find("#access-ReasonHours-problem")
            .Words()
            .ShouldBe("Use a whole number.");

    [Fact]
    public void ReviewPolicy_ForOthers_IsToBeReadOnly()
    {
        var editor = Render<PolicyEditor>(e =>
            e.Add(p => p.Form, new PolicyForm(Caseload.Domain.Policy.ReviewPolicy.Default)).Add(p => p.MayChange, false)
        );

        editor.FindAll("fieldset").ShouldAllBe(fieldset => fieldset.HasAttribute("disabled"));
        editor.FindAll("button").ShouldBeEmpty();
        editor.Words().ShouldContain("A team lead may change these numbers");
    }

    private IRenderedComponent<AccessPolicyEditor> Editor(AccessPolicyForm form, bool mayChange, params Refusal[] refusals) =>
        Render<AccessPolicyEditor>(editor => editor.Add(e => e.Form, form).Add(e => e.MayChange, mayChange).Add(e => e.Refusals, refusals));
}
