using Bunit;
using Caseload.Web.Features.Jobs;

namespace Caseload.Components.Tests.Jobs;

public sealed class JobCardTests : ComponentTest
{
    private static readonly DateTimeOffset _at = new(2026, 9, 1, 6, 5, 0, TimeSpan.FromHours(-5));

    private static readonly RunRow _done = new(
        "2026-09-01",
        RunState.Done,
        "larkfield:7",
        _at,
        TimeSpan.FromSeconds(75),
        1,
        0,
        null,
        null,
        "Looked at 12 children."
    );

    private static readonly JobRow _job = new("sweep", "Sweep", "Looks at every child.", TimeSpan.FromMinutes(5), _at.AddDays(1), [_done]);

    [Fact]
    public void Job_ThatRan_TellsWhenHowLongWhereAndWhatCameOfIt()
    {
        var card = Show(_job);

        card.AllWords(".run > span")
            .ShouldBe(["Done 1 Sep 2026, 06:05", "Looked at 12 children.", "for 2026-09-01 · took 1 minute · on larkfield:7"]);
        card.AllWords("dd")[1].ShouldBe("2 Sep 2026, 06:05");
        card.FindAll("progress, details").ShouldBeEmpty();
    }

    [Fact]
    public void Job_AtWork_ShowsItsProgressAndCannotBeStartedAgain()
    {
        var run = _done with { State = RunState.Running, Took = null, Result = null, DoneCount = 1200, TotalCount = 4000 };

        var card = Show(_job with { Runs = [run] });

        var progress = card.Find("progress");
        (progress.GetAttribute("value"), progress.GetAttribute("max")).ShouldBe(("1200", "4000"));
        card.Find(".run-progress").Words().ShouldBe("1,200 of 4,000");
        card.Find("button").HasAttribute("disabled").ShouldBeTrue();
    }

    [Fact]
    public void Job_AtWorkOnAnUnknownAmount_ShowsThatItMoves()
    {
        var card = Show(_job with { Runs = [_done with { State = RunState.Running, Took = null, Result = null, DoneCount = 3 }] });

        card.Find("progress").HasAttribute("value").ShouldBeFalse();
        card.Find(".run-progress").Words().ShouldBe("3 done");
    }

    [Theory]
    [InlineData(RunState.Waiting, 0, "Waiting to begin", true)]
    [InlineData(RunState.BrokenOff, 1, "Broken off: it is taken up again", false)]
    [InlineData(RunState.Failed, 2, "Failed: tried again from 06:10", false)]
    [InlineData(RunState.GivenUp, 5, "Given up after 5 attempts: run it now once the cause is gone", false)]
    public void Job_LeftUndone_SaysWhatBecomesOfIt(RunState state, int attempts, string words, bool isDisabled)
    {
        var run = _done with { State = state, AttemptCount = attempts, AgainAt = state == RunState.Failed ? _at.AddMinutes(5) : null };

        var card = Show(_job with { Runs = [run] });

        card.Find("strong").Words().ShouldBe(words);
        card.Find("button").HasAttribute("disabled").ShouldBe(isDisabled);
    }

    [Fact]
    public void Job_WithoutPeriods_TellsHowOftenItLooksAndHowOftenItFailed()
    {
        var mail = _job with { NextAt = null, Runs = [_done with { Period = null, State = RunState.Failed, AttemptCount = 3 }] };

        var card = Show(mail);

        card.AllWords("dd")[1].ShouldBe("Looks every 5 minutes");
        card.Find("strong").Words().ShouldBe("Failed 3 times in a row");
        card.Words().ShouldNotContain("for ");
        Show(mail with { Runs = [] }).AllWords("dd")[0].ShouldBe("Nothing has waited yet");
        Show(_job with { Runs = [] }).AllWords("dd")[0].ShouldBe("Has not run yet");
    }

    [Fact]
    public void Job_WithAHistory_FoldsTheRunsBefore()
    {
        var runs = Enumerable.Range(1, 4).Select(number => _done with { Period = $"period-{number}" }).ToList();

        var card = Show(_job with { Runs = runs });

        card.Find("details").HasAttribute("open").ShouldBeFalse();
        card.Find("summary").Words().ShouldBe("The 3 runs before");
        card.FindAll("details li").Count.ShouldBe(3);
    }

    [Fact]
    public void RunNow_WhenTapped_IsRaisedOnce_AndNotWhileBusy()
    {
        var count = 0;
        var card = Render<JobCard>(part => part.Add(c => c.Job, _job).Add(c => c.OnStart, () => count++));

        card.Control("Run now: Sweep").Click();
        card.Render(part => part.Add(c => c.IsBusy, true));

        count.ShouldBe(1);
        card.Control("Run now: Sweep").HasAttribute("disabled").ShouldBeTrue();
    }

    [Theory]
    [InlineData(0.2, "less than a second")]
    [InlineData(1.2, "1 second")]
    [InlineData(42, "42 seconds")]
    [InlineData(80, "1 minute")]
    [InlineData(600, "10 minutes")]
    [InlineData(3700, "1 hour")]
    [InlineData(9000, "2.5 hours")]
    public void Length_OfTime_IsSaidAsPeopleSayIt(double seconds, string words) =>
        JobWords.Length(TimeSpan.FromSeconds(seconds)).ShouldBe(words);

    private IRenderedComponent<JobCard> Show(JobRow job) => Render<JobCard>(part => part.Add(c => c.Job, job));
}
