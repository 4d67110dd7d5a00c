using Caseload.Domain.Interpretation;
using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

/// <summary>
/// From looks to an interval. That integration lies between the last look that found the response and the first that did not is how
/// interval-censored times are defined (Turnbull 1976); two absences in a row are our definition of integrated.
/// </summary>
public sealed class IntegrationTimesTests
{
    private const double Month = IntegrationTimes.DaysOfMonth;

    [Theory]
    [InlineData("60+ 120+ 180- 210-", 120, 180)]
    [InlineData("60- 90-", 0, 60)]
    // One absence that the next look contradicts is none.
    [InlineData("60+ 120- 150+ 180- 240-", 150, 180)]
    // What comes back after two absences is not a later integration.
    [InlineData("60+ 120- 150- 180+ 240- 270-", 60, 120)]
    // A look at one side only does not tell that it is absent, and does tell that it is there.
    [InlineData("60+ 120? 180- 210-", 60, 180)]
    // Before the expected date counts as the expected date.
    [InlineData("-20+ 30- 60-", 0, 30)]
    [InlineData("240- 60+ 180- 120+", 120, 180)]
    public void Looks_ThatFindIntegration_GiveTheIntervalAroundIt(string looks, int after, int through)
    {
        var interval = IntegrationTimes.Of(Read(looks), 1000)!.Value;

        interval.After.ShouldBe(after / Month, 1e-9);
        interval.Through.ShouldNotBeNull().ShouldBe(through / Month, 1e-9);
    }

    [Theory]
    [InlineData("60+ 120+", 120)]
    [InlineData("60+ 120+ 180-", 120)]
    [InlineData("60-", 0)]
    public void Looks_ThatFindNone_AreOpenAtTheEnd(string looks, int after)
    {
        var interval = IntegrationTimes.Of(Read(looks), 1000)!.Value;

        interval.After.ShouldBe(after / Month, 1e-9);
        interval.Through.ShouldBeNull();
    }

    [Fact]
    public void Looks_ThatSayNothing_GiveNoInterval()
    {
        IntegrationTimes.Of([], 1000).ShouldBeNull();
        IntegrationTimes.Of(Read("60?"), 1000).ShouldBeNull();
    }

    private static IEnumerable<DayEvidence> Read(string looks) =>
        looks
            .Split(' ')
            .Select(look =>
                DayEvidence.Empty(1000 + int.Parse(look[..^1], System.Globalization.CultureInfo.InvariantCulture)) with
                {
                    Left = look[^1] == '+' ? (sbyte)2 : (sbyte)0,
                    Right = look[^1] switch
                    {
                        '+' => 2,
                        '-' => 0,
                        _ => DayEvidence.Untested,
                    },
                }
            );
}
