using System.Diagnostics;
using Caseload.Domain.Assignment;

namespace Caseload.Optimiser.Tests;

/// <summary>What the search claims, against every assignment there is, and against rules that know nothing of the search.</summary>
public sealed class AssignmentSearchTests
{
    private static readonly SearchLimits _patient = new(60, 30, 50);

    [Fact]
    public void RandomTeams_TwoHundredSmallOnes_GetTheBestAssignmentThereIs()
    {
        var moves = 0;
        var waiting = 0;
        for (var seed = 0; seed < 200; seed++)
        {
            var problem = RandomTeam.Draw(seed, 2 + (seed % 5), 2 + (seed % 3));

            var answer = AssignmentSearch.Find(problem, _patient, null, CancellationToken.None);

            AssignmentCheck.Faults(problem, answer.Assignment).ShouldBeEmpty($"seed {seed}");
            answer.Score.ShouldBe(AssignmentScore.Of(problem, answer.Assignment), $"seed {seed}");
            answer.Quality.IsProvedBest.ShouldBeTrue($"seed {seed}");
            answer.Quality.LeastFullest.ShouldBeLessThanOrEqualTo(answer.Quality.Fullest, $"seed {seed}");
            answer.Score.ShouldBe(BestByTryingAll(problem), $"seed {seed}");
            var proposal = AssignmentProposal.Of(problem, answer.Assignment);
            CheckClaims(problem, answer, proposal);
            moves += proposal.Moves.Count;
            waiting += proposal.Unplaced.Count;
        }
        // Neither is rare, so neither goes untested.
        moves.ShouldBeGreaterThan(100);
        waiting.ShouldBeGreaterThan(20);
    }

    [Fact]
    public void Answer_Always_IsAtLeastAsGoodAsToday()
    {
        for (var seed = 1000; seed < 1030; seed++)
        {
            var problem = RandomTeam.Draw(seed, 14, 4, AssignmentScope.Rebalance);

            var answer = AssignmentSearch.Find(problem, new SearchLimits(5, 0.2, 6), null, CancellationToken.None);

            AssignmentCheck.Faults(problem, answer.Assignment).ShouldBeEmpty($"seed {seed}");
            AssignmentScore.Of(problem, problem.Today()).IsBetterThan(answer.Score).ShouldBeFalse($"seed {seed}");
        }
    }

    [Fact]
    public void SameQuestion_InAnotherOrder_GetsAnEquallyGoodAnswer()
    {
        for (var seed = 2000; seed < 2020; seed++)
        {
            var problem = RandomTeam.Draw(seed, 7, 3);
            var turned = problem with { Children = [.. problem.Children.Reverse()], Clinicians = [.. problem.Clinicians.Reverse()] };

            var one = AssignmentSearch.Find(problem, _patient, null, CancellationToken.None);

            one.Score.ShouldBe(AssignmentSearch.Find(turned, _patient, null, CancellationToken.None).Score, $"seed {seed}");
            one.Assignment.ShouldBe(AssignmentSearch.Find(problem, _patient, null, CancellationToken.None).Assignment, $"seed {seed}");
        }
    }

    [Fact]
    public void Clinician_MoreOnTheTeam_NeverMakesWaitingWorse()
    {
        for (var seed = 3000; seed < 3020; seed++)
        {
            var problem = RandomTeam.Draw(seed, 7, 3, AssignmentScope.Waiting);
            var more = problem with
            {
                Clinicians =
                [
                    .. problem.Clinicians,
                    new AssignmentClinician(Guid.Empty, "One more", "physical-therapy", ["es"], [], 6000, null, false),
                ],
            };

            var (before, after) = (
                AssignmentSearch.Find(problem, _patient, null, CancellationToken.None),
                AssignmentSearch.Find(more, _patient, null, CancellationToken.None)
            );

            after.Score.Waiting.ShouldBeLessThanOrEqualTo(before.Score.Waiting, $"seed {seed}");
        }
    }

    [Fact]
    public void Rebalancing_OfAnOverloadedClinician_RelievesHerAsFarAsThereIsRoom()
    {
        var full = new AssignmentClinician(new Guid(1, 0, 0, new byte[8]), "Full", "physical-therapy", [], [], 1000, null, false);
        var free = full with { Id = new Guid(2, 0, 0, new byte[8]), Name = "Free" };
        // Six children of 220 minutes each: two visits of 100 and 20 for talks.
        var children = Enumerable
            .Range(0, 6)
            .Select(number => new AssignmentChild(
                new Guid(9, (short)number, 0, new byte[8]),
                $"K-{number:000}",
                new WorkloadOfChild(2, null, 0, []),
                null,
                null,
                0,
                false,
                full.Id,
                10 * number,
                false,
                []
            ))
            .ToList();
        var problem = new AssignmentProblem(children, [full, free], WorkloadPolicy.Default, AssignmentScope.Rebalance, null, false);

        var answer = AssignmentSearch.Find(problem, _patient, null, CancellationToken.None);
        var proposal = AssignmentProposal.Of(problem, answer.Assignment);

        // 1,320 of 1,000 minutes: two have to go, and those go who have been with her for the shortest time.
        proposal.Moves.Select(move => move.ChildId).ShouldBe([children[0].Id, children[1].Id]);
        proposal.Moves[0].Reasons.ShouldContain("Full's load 132 % → 88 %");
    }

    [Fact]
    public void Team_WithoutAnybody_LeavesTheChildrenWaitingAndSaysWhy()
    {
        var problem = RandomTeam.Draw(1, 3, 2, AssignmentScope.Waiting);
        var nobody = problem with { Clinicians = [], Children = [.. problem.Children.Select(child => child with { CurrentId = null })] };

        var answer = AssignmentSearch.Find(nobody, _patient, null, CancellationToken.None);

        answer.Assignment.Values.ShouldAllBe(id => id == null);
        AssignmentProposal.Of(nobody, answer.Assignment).Unplaced.ShouldAllBe(child => child.Why == "Nobody works here.");
    }

    [Fact]
    public void Search_ThatIsStopped_ReturnsAnAnswerThatKeepsEveryRule()
    {
        var problem = RandomTeam.Draw(5, 300, 20, AssignmentScope.Rebalance, isTight: false);
        using var stop = new CancellationTokenSource(TimeSpan.FromSeconds(1));
        var watch = Stopwatch.StartNew();

        var answer = AssignmentSearch.Find(problem, new SearchLimits(60, 60, 6), null, stop.Token);

        watch.Elapsed.ShouldBeLessThan(TimeSpan.FromSeconds(15));
        (answer.Quality.WasStopped, answer.Quality.IsProvedBest).ShouldBe((true, false));
        AssignmentCheck.Faults(problem, answer.Assignment).ShouldBeEmpty();
    }

    [Fact]
    public void LargeTeam_SixtyCliniciansAndFifteenHundredChildren_GetsAnAnswerWithAStatedGap()
    {
        var problem = RandomTeam.Draw(60, 1500, 60, AssignmentScope.Waiting, isTight: false) with { NeedsLanguage = false };
        problem = problem with
        {
            Clinicians =
            [
                .. problem.Clinicians.Select(clinician => clinician with { CapacityMinutes = 11_700, MostChildren = null, IsAway = false }),
            ],
        };
        var stages = new List<int>();
        var watch = Stopwatch.StartNew();

        var answer = AssignmentSearch.Find(problem, SearchLimits.Default, new Told(stages.Add), CancellationToken.None);

        TestContext.Current.TestOutputHelper?.WriteLine(
            $"{watch.Elapsed.TotalSeconds:0.0} s, score {answer.Score}, gap {answer.Quality.GapPercent:0.0} %, proved best {answer.Quality.IsProvedBest}"
        );
        AssignmentCheck.Faults(problem, answer.Assignment).ShouldBeEmpty();
        stages.ShouldNotBeEmpty();
        answer.Quality.GapPercent.ShouldBeInRange(0, 100);
        // Twice the limit: a machine that is busy, and putting the model together.
        watch.Elapsed.ShouldBeLessThan(TimeSpan.FromSeconds(40));
        AssignmentScore
            .Of(problem, answer.Assignment)
            .Waiting.ShouldBeLessThanOrEqualTo(AssignmentScore.Of(problem, problem.Today()).Waiting);
    }

    /// <summary>The figures and names in words are those of the assignment, worked out anew.</summary>
    private static void CheckClaims(AssignmentProblem problem, SearchAnswer answer, AssignmentProposal proposal)
    {
        var today = problem.Today();
        foreach (var load in proposal.Loads)
        {
            var clinician = problem.Clinicians.Single(row => row.Id == load.ClinicianId);
            load.AfterMinutes.ShouldBe(MinutesOf(problem, answer.Assignment, clinician));
            load.BeforeMinutes.ShouldBe(MinutesOf(problem, today, clinician));
        }
        foreach (var move in proposal.Moves)
        {
            answer.Assignment[move.ChildId].ShouldBe(move.ToId);
            today[move.ChildId].ShouldNotBe(move.ToId);
            var (child, to) = (
                problem.Children.Single(row => row.Id == move.ChildId),
                problem.Clinicians.Single(row => row.Id == move.ToId)
            );
            move.Reasons.Any(reason => reason.StartsWith("speaks ", StringComparison.Ordinal))
                .ShouldBe(child.Language is not null && to.Languages.Contains(child.Language));
            move.Reasons.Any(reason => reason.StartsWith("works in ", StringComparison.Ordinal))
                .ShouldBe(child.Work.Zone is not null && to.Zones.Contains(child.Work.Zone));
        }
    }

    private static int MinutesOf(AssignmentProblem problem, IReadOnlyDictionary<Guid, Guid?> assignment, AssignmentClinician clinician) =>
        problem
            .Children.Where(child => assignment[child.Id] == clinician.Id)
            .Sum(child =>
            {
                var policy = problem.Policy;
                var visits = child.Work.Visits!.Value;
                var isNear = child.Work.Zone is null || clinician.Zones.Contains(child.Work.Zone);
                return (
                        visits
                        * (policy.VisitMinutes + policy.DocumentationMinutes + (isNear ? policy.TravelMinutes : policy.FarTravelMinutes))
                    )
                    + policy.CoordinationMinutes
                    + (child.Work.DueChecks * policy.CheckMinutes)
                    + child.Work.OpenAlerts.Sum(alert => new[] { 0, 5, 10, 20, 30 }[(int)alert]);
            });

    private static AssignmentScore BestByTryingAll(AssignmentProblem problem)
    {
        var movable = problem.Children.Where(problem.IsMovable).ToList();
        AssignmentScore? best = null;
        var assignment = problem.Today().ToDictionary(pair => pair.Key, pair => pair.Value);
        Try(0);
        return best!;

        void Try(int index)
        {
            if (index == movable.Count)
            {
                if (AssignmentCheck.Faults(problem, assignment).Count == 0)
                {
                    var score = AssignmentScore.Of(problem, assignment);
                    best = best is null || score.IsBetterThan(best) ? score : best;
                }
                return;
            }
            foreach (var id in problem.Clinicians.Select(clinician => (Guid?)clinician.Id).Append(null))
            {
                assignment[movable[index].Id] = id;
                Try(index + 1);
            }
        }
    }

    private sealed class Told(Action<int> tell) : IProgress<SearchProgress>
    {
        public void Report(SearchProgress value) => tell(value.Stage);
    }
}
