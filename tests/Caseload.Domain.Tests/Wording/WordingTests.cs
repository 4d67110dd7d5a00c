using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;
using Caseload.Domain.Wording;

namespace Caseload.Domain.Tests.Wording;

public sealed class WordingTests
{
    [Fact]
    public void Labels_ForEveryTerm_AreDistinctWithinTheirEnumeration()
    {
        Distinct<ItemState>(Labels.Of);
        Distinct<CheckPurpose>(Labels.Of);
        Distinct<Concern>(Labels.Of);
        Distinct<Response>(Labels.Of);
        Distinct<Side>(Labels.Of);
        Distinct<BehaviouralState>(Labels.Of);
        Distinct<NotTestedReason>(Labels.Of);
        Distinct<Exclusion>(Labels.Of);
        Distinct<TestPosition>(Labels.Of);
        Distinct<ItemFamily>(Labels.Of);
        Distinct<Sidedness>(Labels.Of);
        Distinct<Confidence>(Labels.Of);
        Distinct<Certainty>(Labels.Of);
        Distinct<AgeCaution>(Labels.Of);

        static void Distinct<T>(Func<T, string> label)
            where T : struct, Enum
        {
            var labels = Enum.GetValues<T>().Select(label).ToList();
            labels.ShouldAllBe(text => text.Length > 2);
            labels.Distinct().Count().ShouldBe(labels.Count, typeof(T).Name);
        }
    }

    // Common practice, no source, except the sentence on reappearance (Brown teaching page; A.D.A.M. infant reflexes).
    [Theory]
    [InlineData(ItemState.Returned, 0, false, "urgent", "same day")]
    [InlineData(ItemState.Obligatory, 0, false, "physician", "1 to 2 working days")]
    [InlineData(ItemState.OneSided, 0, false, "physician", "newborn")]
    [InlineData(ItemState.AbsentWhenExpected, 0, true, "physician", "7 days")]
    [InlineData(ItemState.AbsentWhenExpected, 0, false, "lead clinician", "visit note")]
    [InlineData(ItemState.Persisting, 1, false, "team", "Routine")]
    [InlineData(ItemState.Persisting, 2, false, "physician", "7 days")]
    [InlineData(ItemState.Late, 1, false, "team", "Routine")]
    [InlineData(ItemState.Late, 2, false, "physician", "7 days")]
    public void FirstResponse_ForAConcern_SaysWhomAndHowSoon(ItemState state, int step, bool isConfirmed, string whom, string howSoon)
    {
        var response = FirstResponses.For(state, step, isConfirmed)!;

        response.TellWhom.ShouldContain(whom, Case.Insensitive);
        response.HowSoon.ShouldContain(howSoon, Case.Insensitive);
        response.Next.Length.ShouldBeGreaterThan(10);
    }

    [Theory]
    [InlineData(ItemState.PresentAsExpected)]
    [InlineData(ItemState.Integrated)]
    [InlineData(ItemState.Established)]
    [InlineData(ItemState.NotYetExpected)]
    [InlineData(ItemState.Fading)]
    [InlineData(ItemState.Emerging)]
    [InlineData(ItemState.ExpectedNotYetSeen)]
    public void FirstResponse_WhenAllIsAsExpected_IsNone(ItemState state) => FirstResponses.For(state, 0, false).ShouldBeNull();

    [Fact]
    public void Label_OfAnAbsence_SaysWhetherItIsConfirmed()
    {
        Labels.Of(ItemState.AbsentWhenExpected, 0, true).ShouldBe("Absent when expected, confirmed");
        Labels.Of(ItemState.AbsentWhenExpected, 0, false).ShouldBe("Absent when expected, not confirmed");
        Labels.Of(ItemState.Persisting, 1, false).ShouldBe("Persisting, past the usual age");
        Labels.Of(ItemState.Late, 2, false).ShouldBe("Late, past the latest limit");
        Labels.Of(ItemState.Fading, 0, false).ShouldBe("Fading");
    }

    [Fact]
    public void Caution_OfFirstResponses_DefersToLocalProtocolAndDeniesDiagnosis()
    {
        FirstResponses.Caution.ShouldContain("local protocol");
        FirstResponses.Caution.ShouldContain("not a diagnosis");
        FirstResponses.Caution.ShouldContain("no source");
    }

    [Fact]
    public void DueText_ForEveryPurpose_NamesTheDateItTurnsOn()
    {
        DateOnly since = new(2026, 3, 2);
        DateOnly expected = new(2026, 1, 5);
        DateOnly deadline = new(2026, 7, 5);

        Text(CheckPurpose.FirstLook, ItemState.ExpectedNotYetSeen).ShouldContain("5 Jan 2026");
        Text(CheckPurpose.FirstLook, ItemState.NotYetExpected).ShouldBe("Expected from 5 Jan 2026");
        Text(CheckPurpose.WindowOpening, ItemState.PresentAsExpected).ShouldContain("5 Jul 2026");
        Text(CheckPurpose.BeforeDeadline, ItemState.Fading).ShouldContain("5 Jul 2026");
        Text(CheckPurpose.AfterDeadline, ItemState.DeadlinePassedUnchecked).ShouldBe("Deadline 5 Jul 2026 passed without a check");
        Text(CheckPurpose.AfterDeadline, ItemState.PresentAsExpected).ShouldContain("whether it has gone");
        Text(CheckPurpose.Confirm, ItemState.AwaitingConfirmation).ShouldContain("Absent on 2 Mar 2026");
        Text(CheckPurpose.Confirm, ItemState.AbsentWhenExpected).ShouldContain("Absent when expected since 2 Mar 2026");
        Text(CheckPurpose.Recheck, ItemState.Persisting).ShouldBe("Persisting, past the latest limit, since 2 Mar 2026");
        Text(CheckPurpose.RepeatInconclusive, ItemState.ExpectedNotYetSeen).ShouldContain("could not count");
        Text(CheckPurpose.None, ItemState.Integrated).ShouldBeEmpty();

        string Text(CheckPurpose purpose, ItemState state) => DueText.Of(purpose, state, 2, since, expected, deadline);
    }
}
