using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>With exact ages and ages not yet reached the estimate is the one of Kaplan and Meier; published tables say what it is.</summary>
public sealed class KaplanMeierTests
{
    /// <summary>Weeks in remission under 6-mercaptopurine, the trial of Freireich and others (1963) as analysed by Gehan (1965).</summary>
    private static readonly IReadOnlyList<EventInterval> Treated = Of(
        [6, 6, 6, 7, 10, 13, 16, 22, 23],
        [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35]
    );

    /// <summary>The control arm of the same trial; nobody was censored.</summary>
    private static readonly IReadOnlyList<EventInterval> Control = Of(
        [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23],
        []
    );

    [Theory]
    // Printed in two public course outputs that agree.
    [InlineData(6, 21, 0.857143)]
    [InlineData(7, 17, 0.806723)]
    [InlineData(10, 15, 0.752941)]
    [InlineData(13, 12, 0.690196)]
    [InlineData(16, 11, 0.627451)]
    [InlineData(22, 7, 0.537815)]
    [InlineData(23, 6, 0.448179)]
    public void Treated_AtEachRelapse_IsThePublishedTable(double week, int atRisk, double remaining)
    {
        var curve = TurnbullCurve.Of(Treated);

        curve.AtRisk(week).ShouldBe(atRisk);
        RemainingAt(curve, week).ShouldBe(remaining, 5e-7);
    }

    [Fact]
    public void Treated_Always_StepsAtTheRelapsesOnlyAndHasTheMedianOf23()
    {
        var curve = TurnbullCurve.Of(Treated);

        curve.Intervals.Select(TurnbullCurveTests.InWords).ShouldBe(["[6]", "[7]", "[10]", "[13]", "[16]", "[22]", "[23]", "(35,∞)"]);
        curve.Median!.Value.Through.ShouldBe(23);
        KuhnTucker.ShouldHold(curve, Treated);
    }

    [Theory]
    // S(10) = 8/21 in lecture notes citing Cox and Oakes, table 1.1; the others are counts, as nobody was censored.
    [InlineData(1, 19)]
    [InlineData(2, 17)]
    [InlineData(3, 16)]
    [InlineData(4, 14)]
    [InlineData(5, 12)]
    [InlineData(8, 8)]
    [InlineData(10, 8)]
    [InlineData(11, 6)]
    [InlineData(12, 4)]
    [InlineData(15, 3)]
    [InlineData(17, 2)]
    [InlineData(22, 1)]
    [InlineData(23, 0)]
    public void Control_AtEachRelapse_IsACount(double week, int remaining) =>
        RemainingAt(TurnbullCurve.Of(Control), week).ShouldBe(remaining / 21.0, 1e-9);

    [Theory]
    // Bewick, Cheek and Ball, Critical Care 8 (2004) 389, table 2.
    [InlineData(1, 0.750)]
    [InlineData(4, 0.625)]
    [InlineData(5, 0.500)]
    [InlineData(9, 0.333)]
    [InlineData(22, 0)]
    public void SmallExample_AtEachDeath_IsThePublishedTable(double day, double remaining) =>
        RemainingAt(TurnbullCurve.Of(Of([1, 1, 4, 5, 9, 22], [6, 9])), day).ShouldBe(remaining, 5e-4);

    private static double RemainingAt(TurnbullCurve curve, double age)
    {
        var share = curve.ShareReachedBy(age);
        share.Most.ShouldBe(share.Least);
        return 1 - share.Least;
    }

    private static List<EventInterval> Of(IEnumerable<double> reached, IEnumerable<double> notBy) =>
        [.. reached.Select(EventInterval.At), .. notBy.Select(EventInterval.NotBy)];
}
