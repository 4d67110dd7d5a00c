using Caseload.Benchmarks;
using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using CsCheck;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>What holds for every child, item and history.</summary>
public sealed class InterpreterPropertyTests
{
    private static readonly Interpreter Interpreter = new(ReferenceSets.Default, ReviewPolicy.Default);

    private static readonly HashSet<string> KnownSources = [.. ReferenceSets.Default.Sources.Select(source => source.Key)];

    [Fact]
    public void NextChangeOn_WhenNothingIsRecordedAnymore_IsExactlyTheDayOfTheNextChange() =>
        Generators.Situations.Sample(
            situation =>
            {
                var ask = Asking(situation, situation.AsOfOn);
                var asOf = situation.AsOfOn.DayNumber;
                var now = ask(asOf);
                var lastAlike = now.NextChangeOn == 0 ? asOf + 3 * 366 : now.NextChangeOn - 1;

                for (var day = asOf + 1; day <= lastAlike; day++)
                {
                    if (ask(day) != now)
                    {
                        ask(day).ShouldBe(now, $"day {day - asOf} after the question");
                    }
                }
                if (now.NextChangeOn != 0)
                {
                    now.NextChangeOn.ShouldBeGreaterThan(asOf);
                    ask(now.NextChangeOn).State.ShouldNotBe(now.State);
                }
            },
            iter: 1_500
        );

    [Fact]
    public void WindowOf_WhenBornLater_NeverGivesAnEarlierDate() =>
        (from birth in Generators.Births from later in Gen.Int[1, 400] select (birth, later)).Sample(
            (birth, later) =>
            {
                var first = WindowsOf(birth);
                var second = WindowsOf(BirthFacts.Restore(birth.BornOn.AddDays(later), birth.Gestation?.TotalDays));

                first.Zip(second).ShouldAllBe(pair => AllNotAfter(pair.First, pair.Second));
            },
            iter: 500
        );

    [Fact]
    public void WindowOf_WhenBornAtALaterGestation_NeverGivesALaterDate() =>
        (
            from birth in Generators.Births
            from gestation in Gen.Int[GestationalAge.MinimumDays, GestationalAge.MaximumDays - 1]
            from later in Gen.Int[1, GestationalAge.MaximumDays - GestationalAge.MinimumDays]
            select (birth.BornOn, gestation, Math.Min(gestation + later, GestationalAge.MaximumDays))
        ).Sample(
            (bornOn, gestation, laterGestation) =>
            {
                var earlier = WindowsOf(BirthFacts.Restore(bornOn, gestation));
                var later = WindowsOf(BirthFacts.Restore(bornOn, laterGestation));

                later.Zip(earlier).ShouldAllBe(pair => AllNotAfter(pair.First, pair.Second));
            },
            iter: 2_000
        );

    [Fact]
    public void WindowOf_WhenItemHasDates_KeepsThemInOrder() =>
        Generators.Births.Sample(
            birth =>
            {
                foreach (var window in WindowsOf(birth))
                {
                    window.ExpectedFrom.ShouldBeGreaterThanOrEqualTo(birth.BornOn.DayNumber);
                    (window.UsualFrom <= window.UsualThrough).ShouldBeTrue();
                    (window.UsualThrough <= window.LatestThrough).ShouldBeTrue();
                    (window.AbsenceFrom <= window.AbsenceThrough).ShouldBeTrue();
                    (window.EndsFrom <= window.EndsThrough).ShouldBeTrue();
                }
            },
            iter: 1_000
        );

    [Fact]
    public void Interpret_WhenRecordedInAnotherOrder_GivesEqualResults() =>
        (
            from work in Generators.Caseworks
            from order in Gen.Shuffle(Enumerable.Range(0, work.Findings.Count).ToArray())
            select (work, order)
        ).Sample(
            (work, order) =>
                Told(work.Child, [.. order.Select(index => work.Findings[index])], work.AsOfOn)
                    .ShouldBe(Told(work.Child, work.Findings, work.AsOfOn)),
            iter: 1_000
        );

    [Fact]
    public void Interpret_WhenADaysFindingsChangePlaces_GivesEqualResults() =>
        (
            from situation in Generators.Situations
            from order in Gen.Shuffle(Enumerable.Range(0, situation.Findings.Count).ToArray())
            select (situation, order)
        ).Sample(
            (situation, order) =>
            {
                // All on one day: only the order in which they were entered differs.
                var oneDay = situation.Findings.Select(finding => finding with { ObservedOn = situation.AsOfOn }).ToList();

                Told(situation.Child, [.. order.Select(index => oneDay[index])], situation.AsOfOn)
                    .ShouldBe(Told(situation.Child, oneDay, situation.AsOfOn));
            },
            iter: 1_000
        );

    [Fact]
    public void Interpret_WhenAFindingIsCorrected_EqualsTheListWithTheOldOneReplaced() =>
        Generators
            .Caseworks.Where(work => work.Findings.Count > 1)
            .Sample(
                work =>
                {
                    var old = work.Findings[0];
                    var copyOfOld = old with { };
                    var correction = work.Findings[^1] with { Item = old.Item, Id = new Guid(99, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0) };
                    correction = Fit(correction) with { Corrects = old.Id, CorrectionReason = "Typing error." };

                    var recorded = Told(work.Child, [.. work.Findings, correction], work.AsOfOn);
                    var replaced = Told(work.Child, [correction with { Corrects = null }, .. work.Findings.Skip(1)], work.AsOfOn);

                    recorded.ShouldBe(replaced);
                    old.ShouldBe(copyOfOld);
                },
                iter: 500
            );

    [Fact]
    public void Interpret_WhenAFindingIsTakenBack_EqualsTheListWithoutIt() =>
        Generators
            .Caseworks.Where(work => work.Findings.Count > 0)
            .Sample(
                work =>
                {
                    var old = work.Findings[0];
                    var withdrawal = old with
                    {
                        Id = new Guid(99, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0),
                        Response = null,
                        Corrects = old.Id,
                        CorrectionReason = "Wrong child.",
                        IsWithdrawal = true,
                    };

                    Told(work.Child, [.. work.Findings, withdrawal], work.AsOfOn)
                        .ShouldBe(Told(work.Child, work.Findings[1..], work.AsOfOn));
                },
                iter: 1_000
            );

    [Fact]
    public void Interpret_WhenFindingsLieAfterTheQuestion_IgnoresThem() =>
        Generators.Caseworks.Sample(
            work =>
                Told(work.Child, work.Findings, work.AsOfOn)
                    .ShouldBe(Told(work.Child, work.Findings.FindAll(finding => finding.ObservedOn <= work.AsOfOn), work.AsOfOn)),
            iter: 1_000
        );

    [Fact]
    public void Evaluate_WhenAskedInBatch_EqualsInterpret() =>
        Generators.Situations.Sample(
            situation =>
            {
                var result = Interpreter.Interpret(situation.Child, situation.Findings, situation.AsOfOn)[situation.Item];

                Asking(situation, DateOnly.MaxValue)(situation.AsOfOn.DayNumber).ShouldBe(result.Verdict);
            },
            iter: 1_000
        );

    [Fact]
    public void Evaluate_WhenAskedForAThousandChildren_AllocatesNothing()
    {
        var caseload = new RandomCaseload(7, ReferenceSets.Default, ReviewPolicy.Default);
        RandomChild[] children = [.. Enumerable.Range(0, 1_000).Select(_ => caseload.Next())];
        ChildDays[] days = [.. children.Select(child => ChildDays.Of(child.Facts.Birth, ReviewPolicy.Default))];
        int[] asOf = [.. children.Select(child => child.AsOfOn.DayNumber)];
        DayEvidence[][] evidence =
        [
            .. children.SelectMany(child => child.Findings.Select((findings, item) => Interpreter.EvidenceOf(item, findings))),
        ];
        Concerns(days, asOf, evidence);

        var before = GC.GetAllocatedBytesForCurrentThread();
        var concerns = Concerns(days, asOf, evidence);
        var allocated = GC.GetAllocatedBytesForCurrentThread() - before;

        allocated.ShouldBe(0);
        concerns.ShouldBeGreaterThan(0);
    }

    [Fact]
    public void Reasons_WhenAnyHistoryIsTold_RestOnKnownSourcesAndFindings() =>
        Generators.Caseworks.Sample(
            work =>
            {
                var ids = work.Findings.Select(finding => finding.Id).ToHashSet();
                foreach (var result in Interpreter.Interpret(work.Child, work.Findings, work.AsOfOn))
                {
                    result.Reasons.ShouldNotBeEmpty();
                    var weak = result.Reasons.FirstOrDefault(reason =>
                        reason.Text.Contains('{', StringComparison.Ordinal)
                        || !reason.Text.EndsWith('.')
                        || !reason.FindingIds.All(ids.Contains)
                        || !reason.Sources.All(KnownSources.Contains)
                        || (BearsAFigure(reason.Code) && reason.Sources.Count == 0)
                    );
                    weak.ShouldBeNull(result.Item.Id);
                }
            },
            iter: 500
        );

    /// <summary>Reasons that restate a finding, or the lack of one, name no figure; all others do.</summary>
    private static bool BearsAFigure(ReasonCode code) =>
        code
            is not (
                ReasonCode.NoConclusiveCheck
                or ReasonCode.SeenOn
                or ReasonCode.AbsentOn
                or ReasonCode.WeakerThanBefore
                or ReasonCode.IntegratedOn
                or ReasonCode.NotTestedOn
                or ReasonCode.StateNotRecorded
                or ReasonCode.HoldsSince
            );

    private static Func<int, ItemVerdict> Asking(Situation situation, DateOnly knownUntil)
    {
        var child = ChildDays.Of(situation.Child.Birth, ReviewPolicy.Default, situation.Child.FollowedFromOn);
        var window = WindowsOf(situation.Child.Birth)[situation.Item];
        var evidence = Interpreter.EvidenceOf(situation.Item, situation.Findings.Where(finding => finding.ObservedOn <= knownUntil));
        return day => Interpreter.Evaluate(situation.Item, window, evidence, child, day);
    }

    private static ItemWindow[] WindowsOf(BirthFacts birth)
    {
        var child = ChildDays.Of(birth, ReviewPolicy.Default);
        var days = new int[Interpreter.Windows.DayCount];
        Interpreter.Windows.FillDays(child, days);
        return [.. Enumerable.Range(0, Interpreter.Windows.Count).Select(item => Interpreter.Windows.WindowOf(item, child, days))];
    }

    private static bool AllNotAfter(ItemWindow earlier, ItemWindow later) =>
        earlier.ExpectedFrom <= later.ExpectedFrom
        && earlier.UsualFrom <= later.UsualFrom
        && earlier.UsualThrough <= later.UsualThrough
        && earlier.LatestThrough <= later.LatestThrough
        && earlier.AbsenceFrom <= later.AbsenceFrom
        && earlier.AbsenceThrough <= later.AbsenceThrough
        && earlier.PartialThrough <= later.PartialThrough
        && earlier.EndsFrom <= later.EndsFrom
        && earlier.EndsThrough <= later.EndsThrough;

    /// <summary>Everything a child's answer says, as text, so that two answers can be compared whole.</summary>
    private static string Told(ChildFacts child, IReadOnlyCollection<Finding> findings, DateOnly asOfOn) =>
        string.Join(
            '\n',
            Interpreter
                .Interpret(child, findings, asOfOn)
                .Select(result =>
                    $"{result.Item.Id} {result.Verdict} {string.Join(' ', result.Reasons.Select(reason => $"{reason.Code} {reason.Text} {string.Join(',', reason.FindingIds)}"))}"
                )
        );

    private static Finding Fit(Finding finding)
    {
        var item = ReferenceSets.Default.Find(finding.Item)!;
        return finding with
        {
            Side = item.Sided == Sidedness.None ? Side.Both : finding.Side,
            Response = finding.Response is { } response && !item.Accepts(response) ? item.Responses[^1] : finding.Response,
        };
    }

    private static int Concerns(ChildDays[] children, int[] asOf, DayEvidence[][] evidence)
    {
        var items = Interpreter.Windows.Count;
        Span<int> days = stackalloc int[Interpreter.Windows.DayCount];
        var concerns = 0;
        for (var child = 0; child < children.Length; child++)
        {
            Interpreter.Windows.FillDays(children[child], days);
            for (var item = 0; item < items; item++)
            {
                var window = Interpreter.Windows.WindowOf(item, children[child], days);
                concerns += (int)Interpreter.Evaluate(item, window, evidence[child * items + item], children[child], asOf[child]).Concern;
            }
        }
        return concerns;
    }
}
