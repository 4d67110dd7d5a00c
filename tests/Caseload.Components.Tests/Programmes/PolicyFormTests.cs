using Caseload.Domain.Policy;
using Caseload.Web.Features.Programmes;

namespace Caseload.Components.Tests.Programmes;

public sealed class PolicyFormTests
{
    private static IEnumerable<PolicyField> Fields => PolicyField.Groups.SelectMany(group => group.Fields);

    [Fact]
    public void Form_OffersEveryNumberOfThePolicyOnce()
    {
        var numbers = typeof(ReviewPolicy)
            .GetProperties()
            .Where(property => property.PropertyType == typeof(int))
            .Select(property => property.Name);

        Fields.Select(field => field.Name).Order().ShouldBe(numbers.Order());
    }

    [Fact]
    public void Field_ReadsAndWritesThePropertyItIsNamedAfter()
    {
        foreach (var field in Fields)
        {
            var changed = field.Write(ReviewPolicy.Default, 77);

            typeof(ReviewPolicy).GetProperty(field.Name)!.GetValue(changed).ShouldBe(77);
            field.Read(changed).ShouldBe(77);
        }
    }

    [Fact]
    public void Form_AsLoaded_ReadsBackTheSamePolicy()
    {
        var policy = ReviewPolicy.Default with { GraceDays = 21, ScheduleOptionalItems = true };

        new PolicyForm(policy).Read().Value.ShouldBe(policy);
    }

    [Fact]
    public void Number_NotWhole_IsRefusedAtItsField()
    {
        var form = new PolicyForm(ReviewPolicy.Default);
        form[Fields.Single(field => field.Name == nameof(ReviewPolicy.GraceDays))] = "two weeks";

        form.Read().Refusals.Single().Field.ShouldBe(nameof(ReviewPolicy.GraceDays));
    }

    [Fact]
    public void Number_OutOfRange_IsRefusedAtItsField()
    {
        var form = new PolicyForm(ReviewPolicy.Default);
        form[Fields.Single(field => field.Name == nameof(ReviewPolicy.HandlingBudget))] = "200";

        form.Read().Refusals.Single().Field.ShouldBe(nameof(ReviewPolicy.HandlingBudget));
    }
}
