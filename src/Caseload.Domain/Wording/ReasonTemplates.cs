using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Wording;

/// <summary>The sentences of every reason in one language. A second language is a second table, nothing else.</summary>
/// <remarks>
/// Holes: <c>{day}</c> and <c>{value}</c> dates; <c>{days}</c> the value as a number; <c>{grade}</c>, <c>{left}</c>, <c>{right}</c> graded
/// words; <c>{state}</c> behavioural states; <c>{onset}</c>, <c>{usualFrom}</c>, <c>{usualThrough}</c>, <c>{latest}</c> ages of the reference set.
/// </remarks>
internal static class ReasonTemplates
{
    internal static string English(ReasonCode code) =>
        code switch
        {
            ReasonCode.BeforeOnset => "Not expected before {onset}, which is {day}.",
            ReasonCode.OnsetReached => "Expected since {day} ({onset}).",
            ReasonCode.NoConclusiveCheck => "No check that counts is recorded.",
            ReasonCode.SeenOn => "Last check that counts: {grade} on {day}.",
            ReasonCode.BeforeUsualWindow =>
                "That is before the span in which it usually goes, {day} to {value} ({usualFrom} to {usualThrough}).",
            ReasonCode.WithinUsualWindow =>
                "That is within the span in which it usually goes, {day} to {value} ({usualFrom} to {usualThrough}).",
            ReasonCode.WithinGrace => "That is after the usual deadline {day} ({usualThrough}) but within the grace through {value}.",
            ReasonCode.WeakerThanBefore => "It was {grade} before, so it is weaker than it was.",
            ReasonCode.UsualDeadline => "Usually gone by {day} ({usualThrough}); with grace, through {value}.",
            ReasonCode.PastUsualDeadline => "Still seen after the usual deadline {day} ({usualThrough}) and its grace through {value}.",
            ReasonCode.PastLatestLimit => "Also after the latest published limit {day} ({latest}).",
            ReasonCode.LatestLimitAhead => "The latest published limit is {day} ({latest}).",
            ReasonCode.NoLatestLimit => "Sources give no latest limit for it.",
            ReasonCode.NoDeadline => "It stays for life; there is no deadline. Strength and sides are what matters.",
            ReasonCode.AbsentOn => "Absent on {day}.",
            ReasonCode.AbsenceMeansLittle => "Absent on {day}; at that age absence alone means little.",
            ReasonCode.SecondAbsence => "Absent again on {day}, at least {days} days later, so it counts as integrated.",
            ReasonCode.SecondAbsenceNeeded =>
                "A second absence at least {days} days later, from {day} on, is needed to call it integrated.",
            ReasonCode.AbsenceMatters => "Between {day} and {value} its absence matters.",
            ReasonCode.AbsenceConfirmed => "Confirmed by a check on another day, {day}.",
            ReasonCode.AbsenceUnconfirmed => "Not yet confirmed by a check on another day.",
            ReasonCode.SidesDiffer => "On {day} the sides differed: left {left}, right {right}.",
            ReasonCode.ObligatoryOn => "On {day} the infant could not break the response. That is a concern at any age.",
            ReasonCode.IntegratedOn => "It had been integrated on {day}.",
            ReasonCode.SeenAgainOn => "It was seen again on {day}.",
            ReasonCode.NoCheckSinceDeadline =>
                "No check that counts since {value}, when the grace after the deadline {day} ended. This is a missing check, not a finding.",
            ReasonCode.InconclusiveOn => "The check on {day} cannot count: {state} is not a suitable state for it.",
            ReasonCode.NotTestedOn => "It could not be tested on {day}.",
            ReasonCode.OneSideOnly => "On {day} only one side was tested and it was absent; both are needed to call it absent.",
            ReasonCode.StateNotRecorded => "No behavioural state is recorded for {day}.",
            ReasonCode.ExpectedBy => "Usually there by {day} ({usualThrough}); with grace, through {value}.",
            ReasonCode.LateAfterUsual => "It is usually there by {day} ({usualThrough}); the grace ended {value}.",
            ReasonCode.LateAfterLimit => "Also after {day} ({latest}), from when its absence matters.",
            ReasonCode.PartialAccepted => "A partial response is accepted through {day}.",
            ReasonCode.PartialTooLong => "It is still partial; a partial response is accepted through {day}.",
            ReasonCode.LostAfterEstablished => "Absent on {day} although it was complete on {value}.",
            ReasonCode.LessThanBefore => "It was complete on {day}, so it is less than it was.",
            ReasonCode.UsuallyFades => "It usually fades between {day} and {value}.",
            ReasonCode.NotScheduled => "It is optional (weak evidence or distressing), so this programme does not schedule it.",
            ReasonCode.HoldsSince => "It has been so since {day}.",
            _ => throw new ArgumentOutOfRangeException(nameof(code)),
        };
}
