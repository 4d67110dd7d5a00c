using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using NodaTime;

namespace Caseload.Benchmarks;

/// <summary>Asks the batch path and the plain engine the same questions.</summary>
internal static class EngineComparison
{
    private static readonly LocalDate DayZero = new(1, 1, 1);

    /// <summary>The set and the policies that are compared: the built-in ones, and some that turn on other days.</summary>
    internal static IReadOnlyList<(ReferenceSet Set, ReviewPolicy Policy)> Settings { get; } =
    [
        (ReferenceSets.Default, ReviewPolicy.Default),
        (ReferenceSets.Default, ReviewPolicy.Default with { GraceDays = 0, ConfirmAfterDays = 1, ScheduleOptionalItems = true }),
        (ReferenceSets.Default, ReviewPolicy.Default with { GraceDays = 45, CorrectBelowDays = 280, BeforeDeadlineDays = 100 }),
        (OddSet(), ReviewPolicy.Default),
    ];

    /// <summary>Compares every item of a number of invented children.</summary>
    /// <returns>How many answers of each state were compared, and a description of the first difference, or null.</returns>
    internal static (int[] CellsByState, string? Difference) Run(int seed, int children)
    {
        var settings = Settings[seed % Settings.Count];
        var caseload = new RandomCaseload(seed, settings.Set, settings.Policy);
        var interpreter = new Interpreter(settings.Set, settings.Policy);
        var plain = new PlainNodaTimeEngine(settings.Policy);
        Span<int> days = stackalloc int[interpreter.Windows.DayCount];
        var cells = new int[Enum.GetValues<ItemState>().Length];
        for (var number = 0; number < children; number++)
        {
            var child = caseload.Next();
            var childDays = ChildDays.Of(child.Facts.Birth, settings.Policy, child.Facts.FollowedFromOn);
            interpreter.Windows.FillDays(childDays, days);
            var plainChild = PlainOf(child.Facts);
            for (var index = 0; index < settings.Set.Items.Count; index++)
            {
                var item = settings.Set.Items[index];
                var window = interpreter.Windows.WindowOf(index, childDays, days);
                var evidence = interpreter.EvidenceOf(index, child.Findings[index]);
                var verdict = interpreter.Evaluate(index, window, evidence, childDays, child.AsOfOn.DayNumber);
                var answer = plain.Assess(
                    item,
                    plainChild,
                    PlainNodaTimeEngine.Gather(item, child.Findings[index]),
                    LocalDate.FromDateOnly(child.AsOfOn)
                );
                cells[(int)verdict.State]++;
                if (verdict != VerdictOf(answer) || window != WindowOf(answer.Window))
                {
                    return (cells, Describe(seed, child, item, (window, verdict), (WindowOf(answer.Window), VerdictOf(answer))));
                }
            }
        }
        return (cells, null);
    }

    /// <summary>A child's facts as the plain engine takes them.</summary>
    internal static PlainChild PlainOf(ChildFacts facts) =>
        new(
            LocalDate.FromDateOnly(facts.Birth.BornOn),
            facts.Birth.Gestation?.TotalDays,
            facts.FollowedFromOn is { } followed ? LocalDate.FromDateOnly(followed) : null
        );

    private static ItemVerdict VerdictOf(PlainResult result) =>
        new(
            result.Standing.State,
            (byte)result.Standing.Step,
            result.Standing.IsConfirmed,
            DayOr(result.Standing.Since, 0),
            DayOr(result.Standing.NextChange, 0),
            DayOr(result.NextCheck?.From, 0),
            DayOr(result.NextCheck?.Through, 0),
            result.NextCheck?.Purpose ?? CheckPurpose.None,
            result.Concern
        );

    private static ItemWindow WindowOf(PlainWindow window) =>
        new(
            DayOr(window.ExpectedFrom, ItemWindow.None),
            DayOr(window.UsualFrom, ItemWindow.None),
            DayOr(window.UsualThrough, ItemWindow.None),
            DayOr(window.Latest, ItemWindow.None),
            DayOr(window.AbsenceFrom, ItemWindow.None),
            DayOr(window.AbsenceThrough, ItemWindow.None),
            DayOr(window.PartialThrough, ItemWindow.None),
            DayOr(window.EndsFrom, ItemWindow.None),
            DayOr(window.EndsThrough, ItemWindow.None)
        );

    private static int DayOr(LocalDate? date, int none) => date is { } known ? Period.DaysBetween(DayZero, known) : none;

    private static string Describe(
        int seed,
        RandomChild child,
        ReferenceItem item,
        (ItemWindow Window, ItemVerdict Verdict) batch,
        (ItemWindow Window, ItemVerdict Verdict) plain
    )
    {
        var findings = child
            .Findings[ReferenceIndex(item)]
            .OrderBy(finding => finding.ObservedOn)
            .Select(finding => $"  {finding.ObservedOn:O} {finding.Side} {finding.Response?.ToString() ?? "not tested"} {finding.State}");
        return $"""
            Seed {seed}, {item.Id}, born {child.Facts.Birth.BornOn:O} at {child.Facts.Birth.Gestation}, as of {child.AsOfOn:O} ({child.AsOfOn.DayNumber})
            {string.Join('\n', findings)}
            batch {batch.Verdict}
            plain {plain.Verdict}
            batch {batch.Window}
            plain {plain.Window}
            """;

        int ReferenceIndex(ReferenceItem wanted) => ReferenceSets.Default.TryIndexOf(wanted.Id, out var index) ? index : 0;
    }

    /// <summary>A set whose figures lie where the built-in ones do not: spans that start late, limits inside the grace, none at all.</summary>
    private static ReferenceSet OddSet()
    {
        string[] practice = [ReferenceSetRules.CommonPractice];
        var changes = ReferenceSets.Default.Items.ToDictionary(
            item => item.Id,
            item =>
                item.Course switch
                {
                    ItemCourse.GivesWay when item.Rule.UsualFrom!.Months > 2 => item.Rule with
                    {
                        Absence = new MonthSpanFigure(1, 2, practice),
                        Latest = null,
                    },
                    ItemCourse.GivesWay => item.Rule with { Onset = new OnsetFigure(OnsetUnit.PmaWeeks, 43, 44, practice) },
                    ItemCourse.Emerges => item.Rule with
                    {
                        Latest = item.Rule.UsualThrough!.Months % 2 == 0 ? null : item.Rule.UsualThrough,
                        PartialAcceptedThrough = new MonthFigure(item.Rule.UsualThrough!.Months + 2, practice),
                        Ends = new MonthSpanFigure(item.Rule.UsualThrough!.Months + 4, item.Rule.UsualThrough!.Months + 5, practice),
                    },
                    _ => item.Rule with { Onset = new OnsetFigure(OnsetUnit.CorrectedMonths, 1, 1, practice) },
                }
        );
        return ReferenceSets.Default.CopyAs("odd", "1", new DateOnly(2026, 11, 25), "Turns on other days.", changes).Value;
    }
}
