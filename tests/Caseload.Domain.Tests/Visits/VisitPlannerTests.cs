using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using Caseload.Domain.Visits;

namespace Caseload.Domain.Tests.Visits;

public sealed class VisitPlannerTests
{
    private static readonly DateOnly _bornOn = new(2026, 1, 1);
    private static readonly ReferenceSet _set = ReferenceSets.Default;

    private static VisitPlan Plan(
        DateOnly visitOn,
        IReadOnlyCollection<Finding>? recorded = null,
        IReadOnlyCollection<ChildExclusion>? exclusions = null,
        IReadOnlyCollection<string>? concerns = null,
        ReviewPolicy? policy = null
    )
    {
        policy ??= ReviewPolicy.Default;
        var birth = BirthFacts.Create(_bornOn, GestationalAge.Create(40, 0).Value, null, visitOn).Value;
        var results = new Interpreter(_set, policy).Interpret(new ChildFacts(birth), recorded ?? [], visitOn);
        return VisitPlanner.Plan(
            results,
            recorded ?? [],
            exclusions ?? [],
            [.. (concerns ?? []).Select(id => _set.FindConcern(id)!)],
            visitOn,
            policy
        );
    }

    private static Finding Seen(string item, DateOnly on, Response response) =>
        new(new Guid(on.DayNumber, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0), item, on, Side.Both, response, BehaviouralState.QuietAlert);

    [Fact]
    public void Plan_WhenAnItemIsUpsetting_PutsItAfterEveryCalmOne()
    {
        // Common practice, no source: Moro and suspension items go last.
        var plan = Plan(_bornOn.AddMonths(3), policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        var order = plan.Planned.Select(item => item.Item.Upsetting).ToList();
        order.ShouldContain(true);
        order.ShouldContain(false);
        order.ShouldBe(order.Order());
        plan.Planned.Single(item => item.Item.Id == "moro").Item.Upsetting.ShouldBeTrue();
    }

    [Fact]
    public void Plan_WhenItemsAreCalm_KeepsPositionsTogetherFromLyingToHeld()
    {
        var plan = Plan(_bornOn.AddMonths(3), policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        var calm = plan
            .Planned.Where(item => !item.Item.Upsetting && item.Item.States.Best.Contains(BehaviouralState.QuietAlert))
            .Select(item => item.Item.Position)
            .ToList();
        calm.Count.ShouldBeGreaterThan(5);
        calm.ShouldBe(calm.Order());
    }

    [Fact]
    public void Plan_WhenTheBudgetIsSpent_KeepsTheMostUrgentAndSaysWhyOthersAreLeftOut()
    {
        var visitOn = _bornOn.AddMonths(8);
        var policy = ReviewPolicy.Default with { HandlingBudget = 3 };
        Finding[] recorded = [Seen("atnr", visitOn.AddDays(-20), Response.Obligatory)];

        var plan = Plan(visitOn, recorded, policy: policy);

        plan.Planned.Select(item => item.Item.Id).ShouldContain("atnr");
        plan.Effort.ShouldBeLessThanOrEqualTo(3);
        plan.Effort.ShouldBe(plan.Planned.Sum(item => item.Item.Effort));
        plan.LeftOut.ShouldContain(item => item.Because == LeftOutBecause.HandlingBudget && item.Text.Contains("(3)"));
        (plan.Planned.Count + plan.LeftOut.Count).ShouldBe(
            Plan(visitOn, recorded, policy: policy with { HandlingBudget = 60 }).Planned.Count
        );
    }

    [Theory]
    [InlineData(Exclusion.HipOrthosis, "positive_support_neonatal")]
    [InlineData(Exclusion.CervicalInstability, "atnr")]
    [InlineData(Exclusion.Tracheostomy, "atnr")]
    [InlineData(Exclusion.BoneFragility, "traction")]
    [InlineData(Exclusion.SpinalDefectOrWound, "galant")]
    public void Plan_WhenAnExclusionHolds_LeavesTheItemOutWithTheReason(Exclusion exclusion, string item)
    {
        // Common practice, no source: cautions of the test itself.
        var visitOn = _bornOn.AddMonths(3);
        ChildExclusion[] exclusions = [new(exclusion, _bornOn, null)];

        var plan = Plan(visitOn, exclusions: exclusions, policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        plan.Planned.ShouldNotContain(planned => planned.Item.Id == item);
        var left = plan.LeftOut.Single(leftOut => leftOut.Item.Item.Id == item);
        left.Because.ShouldBe(LeftOutBecause.Excluded);
        left.Text.ShouldStartWith(Caseload.Domain.Wording.Labels.Of(exclusion) + ": ");
        left.Text.ShouldEndWith(_set.Find(item)!.ExcludedBy.Single(rule => rule.Exclusion == exclusion).Why);
    }

    [Fact]
    public void Plan_WhenTheInfantIsUnstable_PlansNothing()
    {
        var plan = Plan(_bornOn.AddMonths(3), exclusions: [new ChildExclusion(Exclusion.Unstable, _bornOn, null)]);

        plan.Planned.ShouldBeEmpty();
        plan.LeftOut.ShouldNotBeEmpty();
        plan.LeftOut.ShouldAllBe(item => item.Because == LeftOutBecause.Excluded);
    }

    [Theory]
    [InlineData(-1, true)]
    [InlineData(0, true)]
    [InlineData(1, false)]
    public void Plan_WhenAnExclusionEnds_HoldsThroughItsLastDayOnly(int daysAfterEnd, bool isLeftOut)
    {
        var endOn = _bornOn.AddMonths(3);
        ChildExclusion[] exclusions = [new(Exclusion.CervicalInstability, _bornOn, endOn)];

        var plan = Plan(endOn.AddDays(daysAfterEnd), exclusions: exclusions, policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        plan.LeftOut.Any(item => item.Item.Item.Id == "atnr").ShouldBe(isLeftOut);
    }

    [Fact]
    public void Plan_WhenAConcernIsRecorded_RaisesRelatedItemsThatAreNotDue()
    {
        // ATNR seen at two months is next due at four months; a feeding, rolling or midline concern asks for it now.
        var visitOn = _bornOn.AddMonths(3).AddDays(10);
        Finding[] recorded = [Seen("atnr", _bornOn.AddMonths(2), Response.Typical)];
        var concern = _set.Concerns.First(candidate => candidate.Items.Contains("atnr"));

        var without = Plan(visitOn, recorded);
        var with = Plan(visitOn, recorded, concerns: [concern.Id], policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        without.Planned.ShouldNotContain(item => item.Item.Id == "atnr");
        var raised = with.Planned.Single(item => item.Item.Id == "atnr");
        raised.Purpose.ShouldBe(CheckPurpose.None);
        raised.Span.ShouldBeNull();
        raised.IsOverdue.ShouldBeFalse();
        raised.RelatedTo.ShouldBe([concern.Name]);
    }

    [Fact]
    public void Plan_WhenARelatedItemWasLookedAtWithinFourWeeks_DoesNotRaiseIt()
    {
        var visitOn = _bornOn.AddMonths(3).AddDays(10);
        Finding[] recorded = [Seen("atnr", visitOn.AddDays(-27), Response.Typical)];
        var concern = _set.Concerns.First(candidate => candidate.Items.Contains("atnr"));

        Plan(visitOn, recorded, concerns: [concern.Id], policy: ReviewPolicy.Default with { HandlingBudget = 60 })
            .Planned.ShouldNotContain(item => item.Item.Id == "atnr");
    }

    [Fact]
    public void Plan_WhenARelatedItemWasLookedAtTwice_CountsFromTheLaterLook()
    {
        var visitOn = _bornOn.AddMonths(3).AddDays(10);
        Finding[] recorded = [Seen("atnr", visitOn.AddDays(-60), Response.Typical), Seen("atnr", visitOn.AddDays(-10), Response.Typical)];
        var concern = _set.Concerns.First(candidate => candidate.Items.Contains("atnr"));

        Plan(visitOn, recorded, concerns: [concern.Id], policy: ReviewPolicy.Default with { HandlingBudget = 60 })
            .Planned.ShouldNotContain(item => item.Item.Id == "atnr");
    }

    [Fact]
    public void Plan_WhenARelatedItemCouldNotBeTested_StillRaisesIt()
    {
        var visitOn = _bornOn.AddMonths(3).AddDays(10);
        Finding[] recorded =
        [
            Seen("atnr", visitOn.AddDays(-40), Response.Typical),
            Seen("atnr", visitOn.AddDays(-2), Response.Typical) with
            {
                Response = null,
                NotTested = NotTestedReason.Asleep,
            },
            Seen("atnr", visitOn.AddDays(3), Response.Typical),
        ];
        var concern = _set.Concerns.First(candidate => candidate.Items.Contains("atnr"));

        Plan(visitOn, recorded, concerns: [concern.Id], policy: ReviewPolicy.Default with { HandlingBudget = 60 })
            .Planned.ShouldContain(item => item.Item.Id == "atnr");
    }

    [Fact]
    public void Plan_WhenTheChecksFillTheBudgetExactly_KeepsThemAll()
    {
        var visitOn = _bornOn.AddMonths(3);
        var all = Plan(visitOn, policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        var exact = Plan(visitOn, policy: ReviewPolicy.Default with { HandlingBudget = all.Effort });
        var oneLess = Plan(visitOn, policy: ReviewPolicy.Default with { HandlingBudget = all.Effort - 1 });

        exact.Planned.Count.ShouldBe(all.Planned.Count);
        exact.LeftOut.ShouldBeEmpty();
        oneLess.LeftOut.Count.ShouldBe(1);
    }

    [Fact]
    public void Plan_WhenACheckHasNotBegun_LeavesItForLater()
    {
        var visitOn = _bornOn.AddMonths(3);

        var plan = Plan(visitOn, policy: ReviewPolicy.Default with { HandlingBudget = 60 });

        plan.Planned.ShouldNotContain(item => item.Item.Id == "protective_forward");
        plan.LeftOut.ShouldNotContain(item => item.Item.Item.Id == "protective_forward");
        plan.Planned.ShouldAllBe(item => item.Span == null || item.Span.Value.From <= visitOn);
    }

    [Theory]
    [InlineData("object-release", "palmar_grasp")]
    [InlineData("crawling", "stnr")]
    [InlineData("rolling", "atnr")]
    [InlineData("toe-walking", "positive_support_neonatal")]
    public void Concern_OfAFunction_PointsToTheItemThatCanBeInItsWay(string concern, string item) =>
        // Textbook reasoning, no trial behind it: common practice, no source.
        _set.FindConcern(concern)!.Items.ShouldContain(item);
}
