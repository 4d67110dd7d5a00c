using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Visits;

/// <summary>How soon somebody is to be told of what a visit found. The order is the order of urgency.</summary>
public enum TellBy
{
    /// <summary>The same day.</summary>
    SameDay,

    /// <summary>Within one or two working days.</summary>
    WithinTwoDays,

    /// <summary>Within seven days.</summary>
    WithinAWeek,

    /// <summary>With the visit note, or at the next occasion.</summary>
    Routine,

    /// <summary>Nobody yet; a further look comes first.</summary>
    NobodyYet,
}

/// <summary>Sorts first responses by how soon they are due. Common practice, no source; local protocol goes first.</summary>
public static class TellUrgency
{
    /// <summary>The age below which a child counts as newborn, in days from birth.</summary>
    public const int NewbornDays = 28;

    /// <summary>How soon, or null when the state asks for nothing beyond the planned checks.</summary>
    /// <param name="state">The state after the visit.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="isConfirmed">Whether an absence is confirmed.</param>
    /// <param name="isNew">Whether the state was another before the visit.</param>
    /// <param name="isNewborn">Whether the child is younger than <see cref="NewbornDays"/>.</param>
    public static TellBy? Of(ItemState state, int step, bool isConfirmed, bool isNew, bool isNewborn) =>
        state switch
        {
            ItemState.Returned => TellBy.SameDay,
            ItemState.OneSided => isNew || isNewborn ? TellBy.SameDay : TellBy.WithinAWeek,
            ItemState.Obligatory => TellBy.WithinTwoDays,
            ItemState.AbsentWhenExpected when isConfirmed => isNewborn ? TellBy.SameDay : TellBy.WithinAWeek,
            ItemState.AbsentWhenExpected => TellBy.Routine,
            ItemState.Persisting or ItemState.Late => step == 2 ? TellBy.WithinAWeek : TellBy.Routine,
            ItemState.AwaitingConfirmation or ItemState.DeadlinePassedUnchecked => TellBy.NobodyYet,
            _ => null,
        };
}
