using System.Globalization;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Reference;

/// <summary>The built-in set against the reconciled evidence table of the project's collected evidence, figure by figure and source by source.</summary>
/// <remarks>
/// The source keys stand in each row: what was read, what was read in a copy and what is only remembered is said where the keys are
/// listed. <c>common-practice</c> and <c>from-memory</c> are no sources and are kept as such.
/// </remarks>
public sealed class ReconciledTableTests
{
    // id | onset (keys) | earliest week seen | window from (keys) | usual deadline (keys) | latest published (keys) | absence matters (keys)
    private const string GivesWay = """
        rooting | wk 28-28 (SP-ROOT KUMC common-practice) | 28 | 3 (KUMC common-practice) | 4 (PERRY AAP-HC) | 6 (SP-ROOT) | 0-2 (common-practice)
        suck_swallow | wk 28-28 (common-practice CARDS-A) | 28 | 2 (common-practice CARDS-A) | 5 (common-practice CARDS-A) | 5 (common-practice) | 0-2 (common-practice)
        moro | wk 28-28 (KUMC TEP11 common-practice) | 25 | 4 (TEP11 POCKET common-practice) | 6 (BROWN SP-MORO common-practice) | 6 (SP-MORO NELSON) | 0-2 (common-practice)
        palmar_grasp | wk 28-28 (KUMC NELSON) | 25 | 4 (TEP11 common-practice) | 6 (TEP11 ZAF2004 common-practice) | 9 (CLINIC-DE) | 0-2 (common-practice)
        plantar_grasp | wk 28-28 (KUMC TEP11) | 25 | 9 (KUMC TEP11) | 12 (SP-ROOT OLH2002) | 15 (ZAF2004) | 0-6 (FUT1999 FUT2010)
        positive_support_neonatal | wk 35-35 (KUMC CARDS-C) | 30 | 1 (KUMC common-practice) | 2 (KUMC CARDS-C common-practice) | 6 (PHYSDX) | -
        stepping | wk 38-38 (CARDS-C) | 30 | 2 (CARDS-C LANC) | 3 (LANC CLINIC-DE) | 4 (UBC) | -
        placing | wk 35-35 (BCH1978) | - | 2 (BCH1978) | 2 (BCH1978) | - | -
        traction | wk 28-28 (TEP11 common-practice) | 28 | 2 (TEP11 common-practice) | 5 (TEP11 common-practice) | 5 (TEP11) | 0-2 (common-practice)
        atnr | wk 30-30 (AC1986) | 25 | 4 (TEP11 POCKET common-practice) | 6 (UTAH common-practice) | 7 (TEP11 NELSON) | -
        galant | wk 28-28 (KUMC) | 25 | 2 (common-practice CARDS-C) | 4 (ZAF2004) | 4 (ZAF2004) | 0-1 (common-practice)
        perez | birth 0-0 (LAY) | - | 2 (from-memory) | 3 (from-memory) | 6 (LAY) | -
        babinski | birth 0-0 (ADAM-B) | - | 12 (PERRY ADAM-B) | 24 (ADAM-B) | 24 (ADAM-B) | -
        babkin | birth 0-0 (FUT2013 BAB-IN) | - | 3 (FUT1987) | 5 (FUT2013 BAB-IN) | 5 (FUT2013) | -
        crossed_extension | wk 28-28 (KUMC TEP11) | 28 | 1 (KUMC TEP11) | 2 (KUMC TEP11) | 2 (FIO1963) | 0-1 (common-practice)
        flexor_withdrawal | wk 28-28 (KUMC TEP11) | 28 | 1 (KUMC TEP11) | 2 (KUMC TEP11) | 2 (FIO1963) | 0-1 (common-practice)
        stnr | mo 4-6 (KUMC TEP11) | - | 8 (KUMC TEP11) | 12 (KUMC TEP11) | 12 (KUMC) | -
        tlr_prone | birth 0-0 (TEP11 DREE) | - | 4 (TEP11) | 6 (TEP11 DREE) | 6 (TEP11) | -
        tlr_supine | birth 0-0 (TEP11 DREE) | - | 4 (TEP11) | 6 (TEP11 DREE) | 6 (TEP11) | -
        """;

    // id | onset (keys) | expected by | absent from here on matters | fades again. The keys of the last three columns are judged in
    // tests of their own: the table names no source for each of them.
    private const string Emerges = """
        neck_on_body_mature | mo 4-6 (CARDS-B) | 6 | 8 | 60-60
        body_on_body | mo 4-6 (CARDS-B DREE) | 6 | 8 | 60-60
        labyrinthine_righting | mo 0-2 (CARDS-B DREE) | 2 | 6 | -
        optical_righting | mo 0-2 (CARDS-B DREE) | 2 | 6 | -
        landau | mo 3-4 (CARDS-B CUPPS1976) | 5 | 6 | 12-24
        protective_down | mo 4-4 (DREE CARDS-B) | 9 | 12 | -
        protective_forward | mo 6-9 (DREE CARDS-B BROWN JAFFE1994) | 9 | 10 | -
        protective_sideways | mo 7-7 (DREE CARDS-B) | 8 | 10 | -
        protective_backward | mo 9-9 (DREE CARDS-B) | 10 | 12 | -
        protective_stepping | mo 15-18 (CARDS-B DREE) | 18 | 24 | -
        equilibrium_prone | mo 5-7 (DREE CARDS-B) | 7 | 9 | -
        equilibrium_supine | mo 7-9 (DREE CARDS-B) | 9 | 11 | -
        equilibrium_sitting | mo 7-11 (DREE CARDS-B) | 11 | 13 | -
        equilibrium_quadruped | mo 9-12 (DREE CARDS-B) | 12 | 14 | -
        equilibrium_standing | mo 12-24 (DREE CARDS-B) | 18 | 24 | -
        """;

    private const string Lifelong = """
        startle | birth 0-0 (TEP11)
        glabellar | wk 32-34 (ROB1966)
        """;

    private static readonly ReferenceSet Set = ReferenceSets.Default;

    [Fact]
    public void Items_WhenListed_AreThoseOfTheReconciledTable()
    {
        var ids = Rows(GivesWay)
            .Concat(Rows(Lifelong))
            .Concat(Rows(Emerges))
            .Select(row => row.Split(' ')[0])
            .Append("neck_on_body_immature");

        Set.Items.Select(item => item.Id).ShouldBe(ids, ignoreOrder: true);
        Set.Items.Count(item => item.Family == ItemFamily.Primitive).ShouldBeGreaterThanOrEqualTo(20);
        Set.Items.Count(item => item.Family != ItemFamily.Primitive).ShouldBeGreaterThanOrEqualTo(14);
    }

    [Fact]
    public void Rule_WhenItemGivesWay_EqualsTheReconciledTable() =>
        Set
            .Items.Where(item => item.Course == ItemCourse.GivesWay && item.Id != "neck_on_body_immature")
            .Select(item =>
                $"{item.Id} | {Text(item.Rule.Onset)} | {Text(item.Rule.Earliest)} | {Text(item.Rule.UsualFrom)} | {Text(item.Rule.UsualThrough)} | {Text(item.Rule.Latest)} | {Text(item.Rule.Absence)}"
            )
            .ShouldBe(Rows(GivesWay), ignoreOrder: true);

    [Fact]
    public void Rule_WhenItemStaysForLife_EqualsTheReconciledTable() =>
        Set
            .Items.Where(item => item.Course == ItemCourse.Lifelong)
            .Select(item => $"{item.Id} | {Text(item.Rule.Onset)}")
            .ShouldBe(Rows(Lifelong), ignoreOrder: true);

    [Fact]
    public void Rule_WhenItemEmerges_EqualsTheReconciledTable() =>
        Set
            .Items.Where(item => item.Course == ItemCourse.Emerges)
            .Select(item =>
                $"{item.Id} | {Text(item.Rule.Onset)} | {item.Rule.UsualThrough!.Months} | {item.Rule.Latest!.Months} | {(item.Rule.Ends is { } ends ? $"{ends.FromMonths}-{ends.ThroughMonths}" : "-")}"
            )
            .ShouldBe(Rows(Emerges), ignoreOrder: true);

    [Fact]
    public void Rule_WhenNeckRightingIsImmature_GivesWayWhereTheTableSaysItEnds()
    {
        var item = Set.Find("neck_on_body_immature")!;

        item.Course.ShouldBe(ItemCourse.GivesWay);
        Text(item.Rule.Onset).ShouldBe("wk 34-37 (CARDS-B ROB1966)"); // ROB1966 from memory
        Text(item.Rule.UsualFrom).ShouldBe("4 (CARDS-B)"); // anonymous revision cards, low authority
        Text(item.Rule.UsualThrough).ShouldBe("6 (CARDS-B)");
        Text(item.Rule.Latest).ShouldBe("6 (FIO1963)"); // from memory
        item.Rule.Absence.ShouldBeNull();
    }

    [Fact]
    public void Rule_WhenAbsenceOfAnEmergingItemComesToMatter_IsCommonPracticeWithoutASource()
    {
        foreach (var item in Set.Items.Where(item => item.Course == ItemCourse.Emerges))
        {
            // common practice, no source: every such age is a proposal that clinicians must confirm.
            item.Rule.Latest!.Sources.ShouldBe([ReferenceSetRules.CommonPractice], item.Id);
            item.Rule.Latest.Note.ShouldNotBeNullOrWhiteSpace(item.Id);
        }
    }

    [Fact]
    public void Rule_WhenAbsenceOfAReflexMatters_IsCommonPracticeExceptForPlantarGrasp()
    {
        foreach (var item in Set.Items.Where(item => item.Rule.Absence is not null && item.Id != "plantar_grasp"))
        {
            item.Rule.Absence!.Sources.ShouldBe([ReferenceSetRules.CommonPractice], item.Id); // common practice, no source
            item.Rule.Absence.Note.ShouldNotBeNullOrWhiteSpace(item.Id);
        }

        // Futagi et al., Pediatr Neurol 1999;20:111-5: 834 of 834 normal infants positive within the first six months.
        Text(Set.Find("plantar_grasp")!.Rule.Absence).ShouldBe("0-6 (FUT1999 FUT2010)");
    }

    [Fact]
    public void Rule_WhenForwardParachuteIsPartial_IsAcceptedTo12Months() =>
        // Romeo et al., BMC Pediatr 2009;9:13: 21 % of healthy infants still incomplete at 12 months corrected.
        Set
            .Items.Where(item => item.Rule.PartialAcceptedThrough is not null)
            .Select(item => $"{item.Id} {Text(item.Rule.PartialAcceptedThrough)}")
            .ShouldBe(["protective_forward 12 (ROMEO2009)"]);

    [Fact]
    public void Rule_WhenLandauIsUsuallyThere_FollowsTheFilmedInfants() =>
        // Dev Med Child Neurol 1976;18:41-53: 90 % at 5 to 10 months (30 term infants).
        Text(Set.Find("landau")!.Rule.UsualThrough).ShouldBe("5 (CUPPS1976)");

    private static string[] Rows(string table) => table.Split('\n');

    private static string Text(OnsetFigure onset)
    {
        var unit = onset.Unit switch
        {
            OnsetUnit.PmaWeeks => "wk",
            OnsetUnit.CorrectedMonths => "mo",
            _ => "birth",
        };
        return $"{unit} {onset.From}-{onset.Through} ({Keys(onset.Sources)})";
    }

    private static string Text(EarliestFigure? figure) => figure is null ? "-" : figure.Value.ToString(CultureInfo.InvariantCulture);

    private static string Text(MonthFigure? figure) => figure is null ? "-" : $"{figure.Months} ({Keys(figure.Sources)})";

    private static string Text(MonthSpanFigure? figure) =>
        figure is null ? "-" : $"{figure.FromMonths}-{figure.ThroughMonths} ({Keys(figure.Sources)})";

    private static string Keys(IReadOnlyList<string> sources) => string.Join(' ', sources);
}
