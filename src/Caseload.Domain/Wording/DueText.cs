using System.Globalization;
using Caseload.Domain.Interpretation;

namespace Caseload.Domain.Wording;

/// <summary>Why a check is due, in one line.</summary>
public static class DueText
{
    /// <summary>The line.</summary>
    /// <param name="purpose">What the check is for.</param>
    /// <param name="state">Where the child stands.</param>
    /// <param name="step">1 or 2 for persisting and late.</param>
    /// <param name="sinceOn">Since when the state holds.</param>
    /// <param name="expectedFromOn">From when the item is expected.</param>
    /// <param name="usualThroughOn">The usual deadline.</param>
    public static string Of(
        CheckPurpose purpose,
        ItemState state,
        int step,
        DateOnly? sinceOn,
        DateOnly expectedFromOn,
        DateOnly? usualThroughOn
    ) =>
        purpose switch
        {
            CheckPurpose.FirstLook when state == ItemState.NotYetExpected => $"Expected from {Day(expectedFromOn)}",
            CheckPurpose.FirstLook => $"Not looked at yet; expected since {Day(expectedFromOn)}",
            CheckPurpose.WindowOpening => $"The span in which it usually goes opens; deadline {Day(usualThroughOn)}",
            CheckPurpose.BeforeDeadline => $"Last look before the usual deadline {Day(usualThroughOn)}",
            CheckPurpose.AfterDeadline when state == ItemState.DeadlinePassedUnchecked =>
                $"Deadline {Day(usualThroughOn)} passed without a check",
            CheckPurpose.AfterDeadline => $"See whether it has gone; deadline {Day(usualThroughOn)}",
            CheckPurpose.Confirm when state == ItemState.AbsentWhenExpected => $"Absent when expected since {Day(sinceOn)}; look again",
            CheckPurpose.Confirm => $"Absent on {Day(sinceOn)}; a second absence confirms it",
            CheckPurpose.Recheck => $"{Labels.Of(state, step, false)}, since {Day(sinceOn)}",
            CheckPurpose.RepeatInconclusive => "The last check could not count; repeat it in a suitable state",
            CheckPurpose.None => "",
            _ => throw new ArgumentOutOfRangeException(nameof(purpose)),
        };

    /// <summary>A day as people write it, for example "3 Mar 2026".</summary>
    public static string Day(DateOnly? on) => on?.ToString("d MMM yyyy", CultureInfo.InvariantCulture) ?? "";
}
