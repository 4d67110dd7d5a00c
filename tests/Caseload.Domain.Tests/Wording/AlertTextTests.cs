using Caseload.Domain.Alerts;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Domain.Tests.Wording;

public sealed class AlertTextTests
{
    [Theory]
    [InlineData(AlertKind.Persisting, 1, "Moro: still there past the usual age")]
    [InlineData(AlertKind.Persisting, 2, "Moro: still there past the latest published limit")]
    [InlineData(AlertKind.DeadlinePassed, 0, "Moro: the usual deadline passed without a check")]
    [InlineData(AlertKind.AbsentWhenExpected, 0, "Moro: absent at an age at which it is expected")]
    [InlineData(AlertKind.OneSided, 0, "Moro: left and right differ")]
    [InlineData(AlertKind.Obligatory, 0, "Moro: the infant cannot break the response")]
    [InlineData(AlertKind.Returned, 0, "Moro: back after it had gone")]
    [InlineData(AlertKind.Late, 1, "Moro: not there past the usual age")]
    [InlineData(AlertKind.Late, 2, "Moro: not there past the latest age for it")]
    [InlineData(AlertKind.ConfirmOverdue, 0, "Moro: the second look at its absence is overdue")]
    [InlineData(AlertKind.UrgentSign, 0, "Urgent sign: moro")]
    [InlineData(AlertKind.NotVisited, 0, "No visit for longer than the programme allows")]
    [InlineData(AlertKind.Unassigned, 0, "No clinician is responsible for this child")]
    public void Title_OfEachKindAndStep_SaysItInPlainWords(AlertKind kind, int step, string title) =>
        AlertText.Title(kind, step, "Moro").ShouldBe(title);

    [Fact]
    public void Title_ForEveryKindAndSign_IsThereAndSaysNoDiagnosis()
    {
        var titles = Enum.GetValues<AlertKind>()
            .Select(kind => AlertText.Title(kind, 0, "Moro"))
            .Concat(Enum.GetValues<UrgentSign>().Select(sign => AlertText.Title(AlertKind.UrgentSign, 0, AlertText.Of(sign))))
            .ToList();

        titles.Distinct().Count().ShouldBe(titles.Count);
        titles.ShouldAllBe(title => !title.Contains("diagnos", StringComparison.OrdinalIgnoreCase));
    }

    [Fact]
    public void Labels_OfAlerts_AreDistinctWithinTheirEnumeration()
    {
        Distinct(Enum.GetValues<AlertKind>().Select(AlertText.Of));
        Distinct(Enum.GetValues<AlertState>().Select(AlertText.Of));
        Distinct(Enum.GetValues<AlertAction>().Select(AlertText.Of));
        Distinct(Enum.GetValues<UrgentSign>().Select(AlertText.Of));
        Distinct(Enum.GetValues<Concern>().Where(concern => concern != Concern.None).Select(AlertText.Severity));
        Should.Throw<ArgumentOutOfRangeException>(() => AlertText.Severity(Concern.None));

        static void Distinct(IEnumerable<string> labels)
        {
            var all = labels.ToList();
            all.ShouldAllBe(text => text.Length > 2);
            all.Distinct().Count().ShouldBe(all.Count);
        }
    }

    // Common practice, no source; local protocol goes first.
    [Theory]
    [InlineData(AlertKind.Returned, 0, Concern.SameDay, "urgent medical route", "same day")]
    [InlineData(AlertKind.Obligatory, 0, Concern.SameDay, "team", "team the same day, the physician within 1 to 2 working days")]
    [InlineData(AlertKind.OneSided, 0, Concern.Act, "physician", "7 days")]
    [InlineData(AlertKind.AbsentWhenExpected, 0, Concern.Act, "physician", "7 days")]
    [InlineData(AlertKind.AbsentWhenExpected, 0, Concern.Advisory, "lead clinician", "visit note")]
    [InlineData(AlertKind.Persisting, 2, Concern.Act, "physician", "7 days")]
    [InlineData(AlertKind.Persisting, 1, Concern.Advisory, "team", "Routine")]
    [InlineData(AlertKind.Late, 2, Concern.Act, "physician", "7 days")]
    [InlineData(AlertKind.Late, 1, Concern.Advisory, "team", "Routine")]
    [InlineData(AlertKind.DeadlinePassed, 0, Concern.Watch, "nobody yet", "-")]
    [InlineData(AlertKind.ConfirmOverdue, 0, Concern.Watch, "nobody yet", "-")]
    [InlineData(AlertKind.NotVisited, 0, Concern.Watch, "family", "week")]
    [InlineData(AlertKind.Unassigned, 0, Concern.Watch, "team lead", "working days")]
    public void FirstResponse_ToEachKind_SaysWhomAndHowSoon(AlertKind kind, int step, Concern severity, string whom, string howSoon)
    {
        var response = FirstResponses.For(kind, step, severity, null);

        response.TellWhom.ShouldContain(whom, Case.Insensitive);
        response.HowSoon.ShouldContain(howSoon, Case.Insensitive);
        response.Next.Length.ShouldBeGreaterThan(10);
    }

    // Common practice, no source: the urgent medical route the same day, an unexplained injury the safeguarding route at once.
    [Theory]
    [InlineData(UrgentSign.LossOfSkill, "urgent medical route", "same day")]
    [InlineData(UrgentSign.NewSeizure, "urgent medical route", "same day")]
    [InlineData(UrgentSign.Lethargy, "urgent medical route", "same day")]
    [InlineData(UrgentSign.BulgingFontanelle, "urgent medical route", "same day")]
    [InlineData(UrgentSign.FeedingCollapse, "urgent medical route", "same day")]
    [InlineData(UrgentSign.Apnoea, "urgent medical route", "same day")]
    [InlineData(UrgentSign.UnexplainedInjury, "safeguarding route", "immediately")]
    public void FirstResponse_ToEachSign_IsTheUrgentOrTheSafeguardingRoute(UrgentSign sign, string whom, string howSoon)
    {
        var response = FirstResponses.For(AlertKind.UrgentSign, 0, Concern.SameDay, sign);

        response.TellWhom.ShouldContain(whom, Case.Insensitive);
        response.HowSoon.ShouldContain(howSoon, Case.Insensitive);
        response.Next.ShouldStartWith("No recheck");
    }

    [Theory]
    [InlineData(Concern.SameDay, "At once")]
    [InlineData(Concern.Act, "weekly digest")]
    [InlineData(Concern.Advisory, "weekly digest")]
    [InlineData(Concern.Watch, "weekly digest")]
    public void WhoIsTold_Always_NamesTheClinicianTheCoverAndTheLeads(Concern severity, string how)
    {
        var text = AlertText.WhoIsTold(severity);

        text.ShouldContain(how);
        text.ShouldContain("responsible clinician");
        text.ShouldContain("covers");
        text.ShouldContain("team lead");
    }
}
