using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

public sealed class NormalQuantileTests
{
    [Theory]
    // qnorm((1 + confidence) / 2) of R 4.2, fifteen digits.
    [InlineData(0.01, 0.0125334695080693)]
    [InlineData(0.5, 0.674489750196082)]
    [InlineData(0.8, 1.2815515655446)]
    [InlineData(0.85, 1.43953147093846)]
    [InlineData(0.8500001, 1.43953182415709)]
    [InlineData(0.9, 1.64485362695147)]
    [InlineData(0.95, 1.95996398454005)]
    [InlineData(0.99, 2.5758293035489)]
    [InlineData(0.999, 3.29052673149193)]
    [InlineData(0.9999, 3.89059188641312)]
    public void TwoSided_OfAConfidence_IsTheTabledNumber(double confidence, double z) =>
        NormalQuantile.TwoSided(confidence).ShouldBe(z, 1e-13 * z);
}
