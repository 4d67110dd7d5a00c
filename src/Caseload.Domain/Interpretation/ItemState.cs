namespace Caseload.Domain.Interpretation;

/// <summary>Where a child stands with one item on a date.</summary>
public enum ItemState
{
    /// <summary>The age at which it is expected has not come.</summary>
    NotYetExpected,

    /// <summary>It is expected at this age and no conclusive check has shown it yet.</summary>
    ExpectedNotYetSeen,

    /// <summary>Seen, at an age at which it belongs.</summary>
    PresentAsExpected,

    /// <summary>Seen, weaker than before or within the span in which it usually goes.</summary>
    Fading,

    /// <summary>Absent at two conclusive checks on different days, far enough apart.</summary>
    Integrated,

    /// <summary>Absent once; a second absence is needed.</summary>
    AwaitingConfirmation,

    /// <summary>Seen after the usual deadline and its grace.</summary>
    Persisting,

    /// <summary>The deadline and its grace have gone by and nobody has looked. Not the same as persisting.</summary>
    DeadlinePassedUnchecked,

    /// <summary>Absent at an age at which absence matters, or lost after it was established.</summary>
    AbsentWhenExpected,

    /// <summary>Left and right differ: by two grades, or one is absent and the other is not.</summary>
    OneSided,

    /// <summary>The infant cannot break the response; a concern at any age.</summary>
    Obligatory,

    /// <summary>Seen again after it was integrated.</summary>
    Returned,

    /// <summary>An emerging reaction, seen in part.</summary>
    Emerging,

    /// <summary>An emerging reaction, seen complete.</summary>
    Established,

    /// <summary>An emerging reaction, absent after it should be there.</summary>
    Late,
}

/// <summary>How much attention a state asks for. The order is the order of urgency.</summary>
public enum Concern
{
    /// <summary>Nothing beyond the planned checks.</summary>
    None,

    /// <summary>Something to look at: a check is missing or a second look is due.</summary>
    Watch,

    /// <summary>Just past the usual range: recheck, and mention it at the next medical visit.</summary>
    Advisory,

    /// <summary>Tell the responsible physician, within days.</summary>
    Act,

    /// <summary>The urgent medical route, the same day.</summary>
    SameDay,
}

/// <summary>What the next check is for.</summary>
public enum CheckPurpose
{
    /// <summary>No check is planned.</summary>
    None,

    /// <summary>The first look after the item comes to be expected.</summary>
    FirstLook,

    /// <summary>A look when the span opens in which it usually goes.</summary>
    WindowOpening,

    /// <summary>The check before the usual deadline.</summary>
    BeforeDeadline,

    /// <summary>The check that is due because the deadline has passed.</summary>
    AfterDeadline,

    /// <summary>A second look that confirms an absence.</summary>
    Confirm,

    /// <summary>A look again while something is out of the ordinary.</summary>
    Recheck,

    /// <summary>A repeat, because the last check could not count.</summary>
    RepeatInconclusive,
}
