using Caseload.Domain.Reference;
using Caseload.Domain.Visits;

namespace Caseload.Domain.Tests.Visits;

public sealed class DueRuleTests
{
    [Theory]
    [InlineData("2026-11-22", true)]
    [InlineData("2026-11-23", false)]
    [InlineData(null, false)]
    public void IsOverdue_WhenAsked_CountsTheLastDayAsInTime(string? throughOn, bool expected) =>
        DueRule.IsOverdue(throughOn is null ? null : Day.Of(throughOn), Day.Of("2026-11-23")).ShouldBe(expected);

    [Fact]
    public void IsRuledOut_WhenAnyConditionRulesTheItemOut_IsTrue()
    {
        var item = ReferenceSets.Default.Items.First(candidate => candidate.ExcludedBy.Count > 0);
        var ruling = item.ExcludedBy[0].Exclusion;
        var other = Enum.GetValues<Exclusion>().First(exclusion => item.ExcludedBy.All(rule => rule.Exclusion != exclusion));

        DueRule.IsRuledOut(item, [other, ruling]).ShouldBeTrue();
        DueRule.IsRuledOut(item, [other]).ShouldBeFalse();
        DueRule.IsRuledOut(item, []).ShouldBeFalse();
    }
}
