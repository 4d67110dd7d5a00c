using Caseload.Domain.Statistics;

namespace Caseload.Domain.Tests.Statistics;

public sealed class MedianTests
{
    [Theory]
    [InlineData(new[] { 4 }, 4)]
    [InlineData(new[] { 9, 1, 4 }, 4)]
    [InlineData(new[] { 9, 1, 4, 5 }, 4.5)]
    [InlineData(new[] { 2, 2, 2, 90 }, 2)]
    [InlineData(new[] { -3, 0 }, -1.5)]
    [InlineData(new[] { int.MaxValue, int.MaxValue }, int.MaxValue)]
    public void Of_SomeNumbers_IsTheMiddleOne(int[] values, double expected) => Median.Of(values).ShouldBe(expected);

    [Fact]
    public void Of_NoNumbers_IsNone() => Median.Of([]).ShouldBeNull();
}
