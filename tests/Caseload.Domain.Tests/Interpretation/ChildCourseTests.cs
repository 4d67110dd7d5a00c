using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>The Moro reflex usually goes by six months in the built-in set; with the fourteen days of grace a response seen later persists.</summary>
public sealed class ChildCourseTests
{
    private static readonly Interpreter _interpreter = new(ReferenceSets.Default, ReviewPolicy.Default);
    private static readonly int _moro = ReferenceSets.Default.Items.Select(item => item.Id).ToList().IndexOf("moro");

    [Fact]
    public void On_ForEveryItemAndManyDays_EqualsTheInterpreter()
    {
        var child = Child.AtTerm().Seen(2, 0, Response.Typical).Seen(7, 0, Response.Brisk).On("atnr").Seen(5, 0, Response.Absent);
        var course = ChildCourse.Of(_interpreter, child.Facts, child.Findings);
        for (var months = 0; months <= 14; months++)
        {
            var on = child.DayAt(months, 3);
            var results = _interpreter.Interpret(child.Facts, child.Findings, on);

            Enumerable.Range(0, results.Count).Select(item => course.On(item, on)).ShouldBe(results.Select(result => result.Verdict));
            Enumerable.Range(0, results.Count).Select(course.WindowOf).ShouldBe(results.Select(result => result.Window));
        }
    }

    [Theory]
    // Days after the look at seven months, at which the response began to persist.
    [InlineData(-1, null)]
    [InlineData(0, PersistingTrend.New)]
    [InlineData(6, PersistingTrend.New)]
    [InlineData(7, PersistingTrend.NotSeenAgain)]
    public void Trend_OfAFirstLook_IsNewForSevenDays(int days, PersistingTrend? expected)
    {
        var child = Child.AtTerm().Seen(7, 0, Response.Typical);

        TrendAt(child, 7, days).ShouldBe(expected);
    }

    [Theory]
    [InlineData(Response.Weak, PersistingTrend.Weaker)]
    [InlineData(Response.Typical, PersistingTrend.Same)]
    [InlineData(Response.Brisk, PersistingTrend.Stronger)]
    public void Trend_OfALookWithinTheWeek_ComparesWithTheLookBefore(Response response, PersistingTrend expected)
    {
        var child = Child.AtTerm().Seen(7, 0, Response.Typical).Seen(8, 0, response);

        TrendAt(child, 7, 20).ShouldBe(PersistingTrend.NotSeenAgain);
        TrendAt(child, 8, 0).ShouldBe(expected);
        TrendAt(child, 8, 6).ShouldBe(expected);
        TrendAt(child, 8, 7).ShouldBe(PersistingTrend.NotSeenAgain);
    }

    [Fact]
    public void Trend_WhenItCouldNotBeTested_SaysThatItWasNotSeenAgain()
    {
        var child = Child.AtTerm().Seen(7, 0, Response.Typical).NotTested(8, 0);

        TrendAt(child, 8, 1).ShouldBe(PersistingTrend.NotSeenAgain);
    }

    [Fact]
    public void Trend_OfWhatDoesNotPersist_IsNone()
    {
        TrendAt(Child.AtTerm().Seen(7, 0, Response.Absent), 7, 1).ShouldBeNull();
        TrendAt(Child.AtTerm(), 9, 0).ShouldBeNull();
    }

    private static PersistingTrend? TrendAt(Child child, int months, int days) =>
        ChildCourse.Of(_interpreter, child.Facts, child.Findings).TrendOf(_moro, child.DayAt(months, days));
}
