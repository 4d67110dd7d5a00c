namespace Caseload.Domain.Findings;

/// <summary>What was seen, in graded words. No number is attached on purpose: a word cannot be added up into a score.</summary>
public enum Response
{
    /// <summary>The stimulus was given well and nothing came.</summary>
    Absent,

    /// <summary>Present but weaker than usual. For reflexes that give way.</summary>
    Weak,

    /// <summary>Present at the usual strength. For reflexes that give way.</summary>
    Typical,

    /// <summary>Present and stronger than usual. For reflexes that give way.</summary>
    Brisk,

    /// <summary>The infant is held by the response and cannot break it. For reflexes that give way.</summary>
    Obligatory,

    /// <summary>Some of the response is there. For reactions that emerge.</summary>
    Partial,

    /// <summary>The whole response is there. For reactions that emerge.</summary>
    Complete,
}

/// <summary>Where the response was looked for.</summary>
public enum Side
{
    /// <summary>Both sides alike, or an item without sides.</summary>
    Both,

    /// <summary>The child's left.</summary>
    Left,

    /// <summary>The child's right.</summary>
    Right,
}

/// <summary>The infant's behavioural state, on the scale named <see cref="BehaviouralStates.ScaleName"/>.</summary>
public enum BehaviouralState
{
    /// <summary>Eyes closed, regular breathing, no movement.</summary>
    DeepSleep,

    /// <summary>Eyes closed, irregular breathing, small movements.</summary>
    LightSleep,

    /// <summary>Eyes opening and closing, slow to react.</summary>
    Drowsy,

    /// <summary>Eyes open and bright, little movement.</summary>
    QuietAlert,

    /// <summary>Eyes open, much movement, perhaps fussing.</summary>
    ActiveAlert,

    /// <summary>Crying.</summary>
    Crying,
}

/// <summary>The scale on which behavioural state is recorded.</summary>
public static class BehaviouralStates
{
    /// <summary>The scale's name, stored with every state, because other scales number the same states differently.</summary>
    public const string ScaleName = "six states in words";
}

/// <summary>Why an item was not tested, or was tested and cannot count.</summary>
public enum NotTestedReason
{
    /// <summary>Asleep.</summary>
    Asleep,

    /// <summary>Drowsy or overtired.</summary>
    Tired,

    /// <summary>Crying or fussing that could not be settled.</summary>
    Crying,

    /// <summary>Fed within the last hour.</summary>
    JustFed,

    /// <summary>Too hungry to settle.</summary>
    Hungry,

    /// <summary>Within about 20 hours of birth, while responses still drift (Xu et al., Pediatrics 2011;127:e69).</summary>
    FirstDay,

    /// <summary>Sedative, anticonvulsant or opioid on board.</summary>
    Medication,

    /// <summary>Maternal anaesthesia, magnesium or other medication in a newborn.</summary>
    MaternalMedication,

    /// <summary>Withdrawal.</summary>
    Withdrawal,

    /// <summary>Fever or illness.</summary>
    Illness,

    /// <summary>Pain, or a recent procedure or vaccine.</summary>
    PainOrProcedure,

    /// <summary>Cold infant or cold hands.</summary>
    Cold,

    /// <summary>Cast, splint, harness, swaddle or thick nappy in the way.</summary>
    CastOrHarness,

    /// <summary>Torticollis or a fixed head preference.</summary>
    HeadPreference,

    /// <summary>Fracture or plexus injury of the limb.</summary>
    LimbInjury,

    /// <summary>Noise, glare or other disturbance in the room.</summary>
    Surroundings,

    /// <summary>The head would not stay in midline.</summary>
    HeadNotMidline,

    /// <summary>Too many trials already; the response has worn off.</summary>
    RepeatedTrials,

    /// <summary>The visit's handling was enough.</summary>
    EnoughHandling,

    /// <summary>The family asked to leave it.</summary>
    FamilyDeclined,

    /// <summary>An exclusion of this child.</summary>
    Excluded,
}
