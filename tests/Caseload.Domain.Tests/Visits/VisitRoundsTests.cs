using Caseload.Domain.Calendar;
using Caseload.Domain.Visits;

namespace Caseload.Domain.Tests.Visits;

/// <summary>
/// Planned visits against an independent search: that the earliest-ending interval first needs the fewest points is a textbook result on
/// covering intervals by points (from memory); here every set of days is tried.
/// </summary>
public sealed class VisitRoundsTests
{
    private static readonly DateOnly _first = new(2026, 11, 30);

    [Fact]
    public void Child_WithOverlappingChecks_NeedsOneVisit()
    {
        var plan = VisitRounds.Propose([Child(1, (0, 10), (3, 12), (8, 20))], Days(0, 28), 4);

        var visit = plan.Visits.ShouldHaveSingleItem();
        (visit.CheckCount, visit.LatestOn).ShouldBe((3, _first.AddDays(10)));
        visit.On.ShouldBe(_first.AddDays(8));
        plan.Gaps.ShouldBeEmpty();
    }

    [Fact]
    public void Check_ThatAFixedVisitMeets_NeedsNoOther() =>
        VisitRounds
            .Propose([Child(1, (0, 10)) with { FixedOn = [_first.AddDays(4)] }], Days(0, 28), 4)
            .ShouldSatisfyAllConditions(plan => plan.Visits.ShouldBeEmpty(), plan => plan.Gaps.ShouldBeEmpty());

    [Fact]
    public void Check_ThatIsOverdue_IsPlannedWithinAWeek()
    {
        var plan = VisitRounds.Propose([Child(1, (-40, -20))], Days(2, 28), 4);

        plan.Visits.ShouldHaveSingleItem().On.ShouldBe(_first.AddDays(2));
    }

    [Fact]
    public void Check_OnDaysTheClinicianDoesNotWork_IsAGapForThatReason()
    {
        var plan = VisitRounds.Propose([Child(1, (5, 6))], [_first, _first.AddDays(9)], 4);

        plan.Visits.ShouldBeEmpty();
        plan.Gaps.ShouldHaveSingleItem().IsForWantOfRoom.ShouldBeFalse();
    }

    [Fact]
    public void Check_OnDaysThatAreFull_IsAGapForWantOfRoom()
    {
        var plan = VisitRounds.Propose([Child(1, (0, 0)), Child(2, (0, 0))], Days(0, 5), 1);

        plan.Visits.Count.ShouldBe(1);
        plan.Gaps.ShouldHaveSingleItem().IsForWantOfRoom.ShouldBeTrue();
    }

    [Fact]
    public void Children_OfOneZone_AreVisitedOnOneDay()
    {
        var children = new[]
        {
            Child(1, (0, 4)) with
            {
                Zone = "Lakes",
            },
            Child(2, (0, 9)) with
            {
                Zone = "Hill",
            },
            Child(3, (1, 9)) with
            {
                Zone = "Lakes",
            },
        };
        var plan = VisitRounds.Propose(children, Days(1, 10), 4);

        var days = plan.Visits.ToDictionary(visit => visit.ChildId, visit => visit.On);
        days[Id(3)].ShouldBe(days[Id(1)]);
        days[Id(2)].ShouldNotBe(days[Id(1)]);
    }

    [Fact]
    public void RandomChildren_WithRoomEnough_GetTheFewestVisitsThereCanBe()
    {
        var random = new Random(20261126);
        for (var round = 0; round < 300; round++)
        {
            var days = Enumerable.Range(0, 10).Where(_ => random.Next(3) > 0).Select(_first.AddDays).ToList();
            var checks = Enumerable
                .Range(0, random.Next(1, 7))
                .Select(_ => random.Next(10) is var from ? (from, from + random.Next(6)) : default)
                .ToArray();
            var child = Child(1, checks);

            var plan = VisitRounds.Propose([child], days, 9);

            var possible = child.Checks.Where(check => days.Any(check.Contains)).ToList();
            if (days.Count == 0 || child.Checks.Any(check => check.Through < days[0]))
            {
                continue;
            }
            plan.Visits.Count.ShouldBe(Fewest(possible, days), $"round {round}");
            possible.ShouldAllBe(check => plan.Visits.Any(visit => check.Contains(visit.On)));
            plan.Visits.ShouldAllBe(visit => days.Contains(visit.On));
        }
    }

    [Fact]
    public void RandomCaseloads_WithLittleRoom_NeverFillADayBeyondItsRoomAndAccountForEveryCheck()
    {
        var random = new Random(7);
        for (var round = 0; round < 200; round++)
        {
            var days = Days(0, 12);
            var children = Enumerable
                .Range(1, 9)
                .Select(number =>
                    Child(
                        number,
                        [.. Enumerable.Range(0, 3).Select(_ => random.Next(12) is var from ? (from, from + random.Next(4)) : default)]
                    )
                )
                .ToList();

            var plan = VisitRounds.Propose(children, days, 2);

            plan.Visits.GroupBy(visit => visit.On).ShouldAllBe(day => day.Count() <= 2);
            foreach (var child in children)
            {
                foreach (var check in child.Checks)
                {
                    var isMet = plan.Visits.Any(visit => visit.ChildId == child.Id && check.Contains(visit.On));
                    (isMet || plan.Gaps.Any(gap => gap.ChildId == child.Id && gap.Check == check)).ShouldBeTrue();
                }
            }
        }
    }

    private static int Fewest(List<DateSpan> checks, List<DateOnly> days) =>
        Enumerable
            .Range(0, 1 << days.Count)
            .Where(set => checks.All(check => days.Index().Any(day => (set & (1 << day.Index)) != 0 && check.Contains(day.Item))))
            .Min(set => System.Numerics.BitOperations.PopCount((uint)set));

    private static Guid Id(int number) => new(number, 0, 0, new byte[8]);

    private static List<DateOnly> Days(int from, int through) => [.. Enumerable.Range(from, through - from + 1).Select(_first.AddDays)];

    private static RoundChild Child(int number, params (int From, int Through)[] checks) =>
        new(Id(number), null, [.. checks.Select(check => new DateSpan(_first.AddDays(check.From), _first.AddDays(check.Through)))], []);
}
