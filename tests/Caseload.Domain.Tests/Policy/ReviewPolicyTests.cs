using Caseload.Domain.Policy;

namespace Caseload.Domain.Tests.Policy;

public sealed class ReviewPolicyTests
{
    private static readonly ReviewPolicy Policy = ReviewPolicy.Default;

    /// <summary>A policy outside one limit, by the field the refusal must name.</summary>
    private static readonly (string Field, ReviewPolicy Policy)[] Refused =
    [
        (nameof(ReviewPolicy.CorrectBelowDays), Policy with { CorrectBelowDays = 195 }),
        (nameof(ReviewPolicy.CorrectBelowDays), Policy with { CorrectBelowDays = 281 }),
        (nameof(ReviewPolicy.CorrectionMonths), Policy with { CorrectionMonths = 11 }),
        (nameof(ReviewPolicy.CorrectionMonths), Policy with { CorrectionMonths = 37 }),
        (nameof(ReviewPolicy.GraceDays), Policy with { GraceDays = -1 }),
        (nameof(ReviewPolicy.GraceDays), Policy with { GraceDays = 61 }),
        (nameof(ReviewPolicy.ConfirmAfterDays), Policy with { ConfirmAfterDays = 0 }),
        (nameof(ReviewPolicy.ConfirmAfterDays), Policy with { ConfirmAfterDays = 61, ConfirmThroughDays = 61 }),
        (nameof(ReviewPolicy.ConfirmThroughDays), Policy with { ConfirmThroughDays = 6 }),
        (nameof(ReviewPolicy.ConfirmThroughDays), Policy with { ConfirmThroughDays = 121 }),
        (nameof(ReviewPolicy.FirstLookDays), Policy with { FirstLookDays = 0 }),
        (nameof(ReviewPolicy.FirstLookDays), Policy with { FirstLookDays = 121 }),
        (nameof(ReviewPolicy.BeforeDeadlineDays), Policy with { BeforeDeadlineDays = 0 }),
        (nameof(ReviewPolicy.BeforeDeadlineDays), Policy with { BeforeDeadlineDays = 121 }),
        (nameof(ReviewPolicy.RecheckFromDays), Policy with { RecheckFromDays = 0 }),
        (nameof(ReviewPolicy.RecheckThroughDays), Policy with { RecheckThroughDays = 13 }),
        (nameof(ReviewPolicy.RecheckThroughDays), Policy with { RecheckThroughDays = 121 }),
        (nameof(ReviewPolicy.ConcernRecheckFromDays), Policy with { ConcernRecheckFromDays = 0 }),
        (nameof(ReviewPolicy.ConcernRecheckThroughDays), Policy with { ConcernRecheckThroughDays = 6 }),
        (nameof(ReviewPolicy.ConcernRecheckThroughDays), Policy with { ConcernRecheckThroughDays = 61 }),
        (nameof(ReviewPolicy.ReturnedRecheckThroughDays), Policy with { ReturnedRecheckThroughDays = 0 }),
        (nameof(ReviewPolicy.ReturnedRecheckThroughDays), Policy with { ReturnedRecheckThroughDays = 31 }),
        (nameof(ReviewPolicy.HandlingBudget), Policy with { HandlingBudget = 2 }),
        (nameof(ReviewPolicy.HandlingBudget), Policy with { HandlingBudget = 61 }),
    ];

    public static TheoryData<int> RefusedPolicies => [.. Enumerable.Range(0, Refused.Length)];

    [Fact]
    public void Check_WhenPolicyIsTheDefault_Accepts() => Policy.Check().Value.ShouldBeSameAs(Policy);

    [Theory]
    [MemberData(nameof(RefusedPolicies))]
    public void Check_WhenANumberLeavesItsRange_NamesTheFieldAndTheRange(int index)
    {
        var (field, policy) = Refused[index];

        var refusal = policy.Check().Refusals.ShouldHaveSingleItem();

        refusal.Field.ShouldBe(field);
        refusal.Message.ShouldEndWith(".");
    }

    [Fact]
    public void Check_WhenTwoNumbersLeaveTheirRanges_NamesBoth() =>
        (Policy with { GraceDays = 99, HandlingBudget = 99 })
            .Check()
            .Refusals.Select(refusal => refusal.Field)
            .ShouldBe([nameof(ReviewPolicy.GraceDays), nameof(ReviewPolicy.HandlingBudget)]);

    [Fact]
    public void Check_WhenNumbersStandAtTheirLimits_Accepts()
    {
        (
            Policy with
            {
                CorrectBelowDays = 196,
                CorrectionMonths = 12,
                GraceDays = 0,
                ConfirmAfterDays = 1,
                ConfirmThroughDays = 1,
                FirstLookDays = 1,
                BeforeDeadlineDays = 1,
                RecheckFromDays = 1,
                RecheckThroughDays = 1,
                ConcernRecheckFromDays = 1,
                ConcernRecheckThroughDays = 1,
                ReturnedRecheckThroughDays = 1,
                HandlingBudget = 3,
            }
        )
            .Check()
            .IsAccepted.ShouldBeTrue();
        (
            Policy with
            {
                CorrectBelowDays = 280,
                CorrectionMonths = 36,
                GraceDays = 60,
                ConfirmAfterDays = 60,
                ConfirmThroughDays = 120,
                FirstLookDays = 120,
                BeforeDeadlineDays = 120,
                RecheckFromDays = 120,
                RecheckThroughDays = 120,
                ConcernRecheckFromDays = 60,
                ConcernRecheckThroughDays = 60,
                ReturnedRecheckThroughDays = 30,
                HandlingBudget = 60,
            }
        )
            .Check()
            .IsAccepted.ShouldBeTrue();
    }

    [Fact]
    public void Default_WhenRead_HoldsTheDocumentedNumbers()
    {
        Policy.CorrectBelowDays.ShouldBe(259); // WHO, via copies; 259 days: Epidemiol Rev 2014;36:148-64
        Policy.CorrectionMonths.ShouldBe(24); // NICE NG62; AAP parent guidance
        Policy.GraceDays.ShouldBe(14); // common practice, no source
        Policy.ConfirmAfterDays.ShouldBe(7); // common practice, no source
        (Policy.RecheckFromDays, Policy.RecheckThroughDays).ShouldBe((14, 28)); // common practice, no source
        (Policy.ConcernRecheckFromDays, Policy.ConcernRecheckThroughDays).ShouldBe((7, 14)); // common practice, no source
        Policy.ScheduleOptionalItems.ShouldBeFalse(); // common practice, no source
    }
}
