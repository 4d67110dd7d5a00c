using Caseload.Domain.Interpretation;
using Caseload.Domain.Visits;
using Caseload.Domain.Wording;

namespace Caseload.Domain.Tests.Visits;

public sealed class TellUrgencyTests
{
    [Theory]
    [InlineData(ItemState.Returned, 0, false, false, false, TellBy.SameDay)]
    [InlineData(ItemState.OneSided, 0, false, true, false, TellBy.SameDay)]
    [InlineData(ItemState.OneSided, 0, false, false, true, TellBy.SameDay)]
    [InlineData(ItemState.OneSided, 0, false, false, false, TellBy.WithinAWeek)]
    [InlineData(ItemState.Obligatory, 0, false, true, false, TellBy.WithinTwoDays)]
    [InlineData(ItemState.AbsentWhenExpected, 0, true, false, true, TellBy.SameDay)]
    [InlineData(ItemState.AbsentWhenExpected, 0, true, true, false, TellBy.WithinAWeek)]
    [InlineData(ItemState.AbsentWhenExpected, 0, false, true, true, TellBy.Routine)]
    [InlineData(ItemState.Persisting, 2, false, true, false, TellBy.WithinAWeek)]
    [InlineData(ItemState.Persisting, 1, false, true, false, TellBy.Routine)]
    [InlineData(ItemState.Late, 2, false, true, false, TellBy.WithinAWeek)]
    [InlineData(ItemState.Late, 1, false, true, false, TellBy.Routine)]
    [InlineData(ItemState.AwaitingConfirmation, 0, false, true, false, TellBy.NobodyYet)]
    [InlineData(ItemState.DeadlinePassedUnchecked, 0, false, true, false, TellBy.NobodyYet)]
    [InlineData(ItemState.PresentAsExpected, 0, false, true, true, null)]
    public void Of_State_IsAsSoonAsItsFirstResponseSays(
        ItemState state,
        int step,
        bool isConfirmed,
        bool isNew,
        bool isNewborn,
        TellBy? expected
    ) => TellUrgency.Of(state, step, isConfirmed, isNew, isNewborn).ShouldBe(expected);

    public static TheoryData<ItemState> States => [.. Enum.GetValues<ItemState>()];

    [Theory]
    [MemberData(nameof(States))]
    public void Of_State_AsksForTellingExactlyWhenThereIsAFirstResponse(ItemState state)
    {
        for (var step = 0; step <= 2; step++)
        {
            var urgency = TellUrgency.Of(state, step, isConfirmed: false, isNew: true, isNewborn: false);

            (urgency is null).ShouldBe(FirstResponses.For(state, step, isConfirmed: false) is null);
        }
    }
}
