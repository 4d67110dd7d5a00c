using Bunit;
using Caseload.Data.Alerts;
using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Web.Features.Alerts;
using Caseload.Web.Ui;

namespace Caseload.Components.Tests.Alerts;

public sealed class AlertWordsTests : ComponentTest
{
    private static readonly DateTimeOffset _at = new(2026, 9, 1, 12, 0, 0, TimeSpan.Zero);

    [Theory]
    [InlineData(1, "answer by today 13:00")]
    [InlineData(14, "answer by tomorrow 02:00")]
    [InlineData(72, "answer by Fri 4 Sep")]
    [InlineData(0, "overdue just now")]
    [InlineData(-1, "overdue 1 hour")]
    [InlineData(-5, "overdue 5 hours")]
    [InlineData(-72, "overdue 3 days")]
    [InlineData(-600, "overdue 3 weeks")]
    public void Standing_OfAnOpenAlert_SaysByWhenOrHowLate(int hours, string text)
    {
        var alert = Alert() with { AnswerBy = _at.AddHours(hours) };

        AlertWords.Standing(alert, _at).ShouldBe(text);
        AlertWords.IsOverdue(alert, _at).ShouldBe(hours <= 0);
    }

    [Fact]
    public void Standing_InEveryOtherState_SaysIt()
    {
        AlertWords.Standing(Alert(), _at).ShouldBe("no answer yet");
        AlertWords.Standing(Alert() with { IsEscalated = true }, _at).ShouldBe("overdue, the team lead was told");
        AlertWords.IsOverdue(Alert() with { IsEscalated = true }, _at).ShouldBeTrue();
        AlertWords.Standing(Alert(AlertState.Acknowledged), _at).ShouldBe("acknowledged");
        AlertWords.Standing(Alert(AlertState.ActedOn), _at).ShouldBe("acted on");
        AlertWords
            .Standing(Alert(AlertState.SetAside) with { BackOn = Samples.Day("2026-09-15") }, _at)
            .ShouldBe("set aside until 15 Sep 2026");
        AlertWords
            .Standing(Alert(AlertState.Closed) with { ClosedOn = Samples.Day("2026-08-30"), ClosedBecause = AlertEnd.Visited }, _at)
            .ShouldBe("closed 30 Aug 2026: the child was visited");
    }

    [Theory]
    [InlineData(null, "since birth")]
    [InlineData("2026-09-01", "since today")]
    [InlineData("2026-08-31", "since 31 Aug 2026, 1 day")]
    [InlineData("2026-08-19", "since 19 Aug 2026, 13 days")]
    [InlineData("2026-08-18", "since 18 Aug 2026, 2 weeks")]
    [InlineData("2026-06-30", "since 30 Jun 2026, 9 weeks")]
    public void Since_Always_SaysTheDayAndHowLong(string? since, string text) =>
        AlertWords.Since(Alert() with { SinceOn = since is null ? null : Samples.Day(since) }, Samples.TodayOn).ShouldBe(text);

    [Fact]
    public void Title_OfAStoredAlert_NamesTheItemOrTheSign()
    {
        Title(AlertKind.OneSided, "moro").ShouldBe("Moro: left and right differ");
        Title(AlertKind.UrgentSign, "new-seizure").ShouldBe("Urgent sign: a first seizure, or movements that may be one");
        Title(AlertKind.NotVisited, "").ShouldBe("No visit for longer than the programme allows");
        Title(AlertKind.OneSided, "an-item-of-another-set").ShouldStartWith("an-item-of-another-set:");

        static string Title(AlertKind kind, string item) => AlertPhrases.Title(kind, 0, item, ReferenceSets.Default);
    }

    [Fact]
    public void Words_OfEveryTerm_AreDistinct()
    {
        Distinct(Enum.GetValues<AlertEnd>().Select(AlertPhrases.Of));
        Distinct(Enum.GetValues<AlertStepKind>().Select(AlertPhrases.Of));
        Distinct(Enum.GetValues<AlertShow>().Select(AlertWords.Of));

        static void Distinct(IEnumerable<string> words)
        {
            var all = words.ToList();
            all.Distinct().Count().ShouldBe(all.Count);
        }
    }

    [Fact]
    public void Mark_OfEachSeverity_HasAShapeOfItsOwn() =>
        Enum.GetValues<Concern>()
            .Where(severity => severity != Concern.None)
            .Select(severity => Render<SeverityMark>(mark => mark.Add(m => m.Severity, severity)).Markup)
            .Distinct()
            .Count()
            .ShouldBe(4);

    [Fact]
    public void Form_ForSeveralAlerts_AllowsWhatTheMostPressingOfThemAllows()
    {
        var urgent = Alert() with { Id = Samples.Id(2), Severity = Concern.SameDay };

        new AnswerForm(AlertAnswer.SetAside, [Alert()], Samples.Id(9), Samples.TodayOn).MostDays.ShouldBe(90);
        var both = new AnswerForm(AlertAnswer.SetAside, [Alert(), urgent], Samples.Id(9), Samples.TodayOn);
        (both.MostDays, both.HasSameDay, both.Subject, both.AlertId).ShouldBe((7, true, "2 alerts", null));
        new AnswerForm(AlertAnswer.Act, [urgent], Samples.Id(9), Samples.TodayOn).On.ShouldBe(Samples.TodayOn);
    }

    private static AlertRow Alert(AlertState state = AlertState.Open) =>
        new(
            Samples.Id(1),
            1,
            AlertKind.Persisting,
            Concern.Advisory,
            state,
            "Moro: still there past the usual age",
            Samples.Day("2026-08-01"),
            Samples.Day("2026-08-01"),
            null,
            false,
            null,
            null,
            null
        );
}
