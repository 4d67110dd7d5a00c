namespace Caseload.Domain.Interpretation;

/// <summary>Every step that a result can rest on. Its words come from one place, <see cref="Wording.ReasonText"/>.</summary>
public enum ReasonCode
{
    /// <summary>The onset age has not come.</summary>
    BeforeOnset,

    /// <summary>The onset age has come.</summary>
    OnsetReached,

    /// <summary>No check that counts is recorded.</summary>
    NoConclusiveCheck,

    /// <summary>A response was seen.</summary>
    SeenOn,

    /// <summary>It was seen before its usual window opens.</summary>
    BeforeUsualWindow,

    /// <summary>It was seen within its usual window.</summary>
    WithinUsualWindow,

    /// <summary>It was seen within the grace after the usual deadline.</summary>
    WithinGrace,

    /// <summary>The response is weaker than an earlier one.</summary>
    WeakerThanBefore,

    /// <summary>The usual deadline and its grace.</summary>
    UsualDeadline,

    /// <summary>Seen after the usual deadline and its grace.</summary>
    PastUsualDeadline,

    /// <summary>Seen after the latest published limit.</summary>
    PastLatestLimit,

    /// <summary>The latest published limit, not yet passed.</summary>
    LatestLimitAhead,

    /// <summary>No latest limit is published.</summary>
    NoLatestLimit,

    /// <summary>A lifelong item has no deadline.</summary>
    NoDeadline,

    /// <summary>Absent at a check that counts.</summary>
    AbsentOn,

    /// <summary>Absent at an age at which absence alone means little.</summary>
    AbsenceMeansLittle,

    /// <summary>Absent a second time, far enough from the first.</summary>
    SecondAbsence,

    /// <summary>A second absence is needed, and from when it counts.</summary>
    SecondAbsenceNeeded,

    /// <summary>The span in which absence matters.</summary>
    AbsenceMatters,

    /// <summary>A second day confirmed the absence.</summary>
    AbsenceConfirmed,

    /// <summary>The absence is not confirmed yet.</summary>
    AbsenceUnconfirmed,

    /// <summary>Left and right differ.</summary>
    SidesDiffer,

    /// <summary>An obligatory response was seen.</summary>
    ObligatoryOn,

    /// <summary>It had been integrated.</summary>
    IntegratedOn,

    /// <summary>It was seen again after that.</summary>
    SeenAgainOn,

    /// <summary>No check that counts since the usual deadline.</summary>
    NoCheckSinceDeadline,

    /// <summary>A check that cannot count because of the infant's state.</summary>
    InconclusiveOn,

    /// <summary>It could not be tested.</summary>
    NotTestedOn,

    /// <summary>Only one side was tested and it was absent, which is not an absence.</summary>
    OneSideOnly,

    /// <summary>The finding counts, but no behavioural state is recorded.</summary>
    StateNotRecorded,

    /// <summary>An emerging reaction is usually there by this day.</summary>
    ExpectedBy,

    /// <summary>Absent after it is usually there.</summary>
    LateAfterUsual,

    /// <summary>Absent after the limit from which absence matters.</summary>
    LateAfterLimit,

    /// <summary>A partial response is accepted up to this day.</summary>
    PartialAccepted,

    /// <summary>Only partial after the day up to which that is accepted.</summary>
    PartialTooLong,

    /// <summary>Absent after it was established.</summary>
    LostAfterEstablished,

    /// <summary>Less complete than before.</summary>
    LessThanBefore,

    /// <summary>The span in which an emerging reaction usually fades again.</summary>
    UsuallyFades,

    /// <summary>An optional item that the programme does not schedule.</summary>
    NotScheduled,

    /// <summary>The first of the findings that all say the same.</summary>
    HoldsSince,
}

/// <summary>Receives the reasons as a rule reaches them.</summary>
/// <remarks>A struct type argument, so that the batch path compiles to code without any of it.</remarks>
public interface IReasonTrace
{
    /// <summary>Whether anybody listens; rules skip work that only serves reasons when not.</summary>
    bool IsListening { get; }

    /// <summary>Takes a reason.</summary>
    /// <param name="code">The step.</param>
    /// <param name="day">The day number it speaks of; 0 when it speaks of none.</param>
    /// <param name="value">A second day number, a grade, or two grades as left × 16 + right, by code.</param>
    void Add(ReasonCode code, int day = 0, int value = 0);
}

/// <summary>Hears nothing.</summary>
public readonly struct NoTrace : IReasonTrace
{
    /// <inheritdoc />
    public bool IsListening => false;

    /// <inheritdoc />
    public void Add(ReasonCode code, int day = 0, int value = 0) { }
}
