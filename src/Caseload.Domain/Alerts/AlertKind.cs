namespace Caseload.Domain.Alerts;

/// <summary>What an alert says. One open alert at most stands for a child, an item and a kind.</summary>
public enum AlertKind
{
    /// <summary>A response still seen after its usual deadline (step 1) or its latest published limit (step 2).</summary>
    Persisting,

    /// <summary>The usual deadline has gone by and nobody has looked.</summary>
    DeadlinePassed,

    /// <summary>Absent at an age at which absence matters, or lost after it was established.</summary>
    AbsentWhenExpected,

    /// <summary>Left and right differ.</summary>
    OneSided,

    /// <summary>The infant cannot break the response.</summary>
    Obligatory,

    /// <summary>Seen again after it was integrated.</summary>
    Returned,

    /// <summary>An emerging reaction, absent after it should be there (step 1) or after the limit (step 2).</summary>
    Late,

    /// <summary>A first absence waits for its second look, and the time for it is over.</summary>
    ConfirmOverdue,

    /// <summary>A sign of the urgent list was seen; it concerns the whole child.</summary>
    UrgentSign,

    /// <summary>The child has not been visited for longer than the programme's policy allows.</summary>
    NotVisited,

    /// <summary>The child has no clinician.</summary>
    Unassigned,
}

/// <summary>Signs that go the urgent medical (or safeguarding) route the same day, whatever the reflexes say.</summary>
/// <remarks>Common practice, no source; local protocol goes first.</remarks>
public enum UrgentSign
{
    /// <summary>A skill the child had is lost.</summary>
    LossOfSkill,

    /// <summary>A seizure, or movements that may be one, for the first time.</summary>
    NewSeizure,

    /// <summary>Unusually sleepy, hard to rouse.</summary>
    Lethargy,

    /// <summary>A bulging or tense fontanelle.</summary>
    BulgingFontanelle,

    /// <summary>Feeding has broken down.</summary>
    FeedingCollapse,

    /// <summary>Pauses in breathing.</summary>
    Apnoea,

    /// <summary>An injury or fracture that nobody can explain; the safeguarding route.</summary>
    UnexplainedInjury,
}

/// <summary>What was done about an alert.</summary>
public enum AlertAction
{
    /// <summary>The item was looked at again.</summary>
    Rechecked,

    /// <summary>The family was told.</summary>
    ToldFamily,

    /// <summary>The physician was told.</summary>
    ToldPhysician,

    /// <summary>The child was referred.</summary>
    Referred,

    /// <summary>Something else, which the note says.</summary>
    Other,
}

/// <summary>Where an alert is in its life.</summary>
public enum AlertState
{
    /// <summary>Nobody has answered it.</summary>
    Open,

    /// <summary>Somebody has seen it.</summary>
    Acknowledged,

    /// <summary>Something was done about it; it stays until the findings no longer give rise to it.</summary>
    ActedOn,

    /// <summary>Set aside until a day, for a reason.</summary>
    SetAside,

    /// <summary>What gave rise to it is no longer so.</summary>
    Closed,
}
