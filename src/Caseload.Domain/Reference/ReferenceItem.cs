using Caseload.Domain.Findings;

namespace Caseload.Domain.Reference;

/// <summary>The family a reflex or reaction belongs to in the trade.</summary>
public enum ItemFamily
{
    /// <summary>Primitive reflex.</summary>
    Primitive,

    /// <summary>Righting reaction.</summary>
    Righting,

    /// <summary>Antigravity reaction in suspension (Landau).</summary>
    Antigravity,

    /// <summary>Protective extension.</summary>
    Protective,

    /// <summary>Equilibrium (tilting) reaction.</summary>
    Equilibrium,
}

/// <summary>What an item does over time.</summary>
public enum ItemCourse
{
    /// <summary>Serves the infant and then gives way; it has a usual deadline.</summary>
    GivesWay,

    /// <summary>Appears and stays for life; it has no deadline, only sides and strength.</summary>
    Lifelong,

    /// <summary>Emerges and is wanted; its absence matters from an age on.</summary>
    Emerges,
}

/// <summary>How sides are compared.</summary>
public enum Sidedness
{
    /// <summary>A midline response.</summary>
    None,

    /// <summary>One stimulus; left and right limbs are compared.</summary>
    Paired,

    /// <summary>Each side is stimulated by itself.</summary>
    Each,
}

/// <summary>How the infant lies or is held, in the order of least handling.</summary>
public enum TestPosition
{
    /// <summary>On the back.</summary>
    Supine,

    /// <summary>Half sitting, head supported.</summary>
    SemiReclined,

    /// <summary>Held in the arms.</summary>
    Held,

    /// <summary>On the front.</summary>
    Prone,

    /// <summary>Sitting.</summary>
    Sitting,

    /// <summary>On hands and knees, or over the examiner's knee.</summary>
    AllFours,

    /// <summary>Standing.</summary>
    Standing,

    /// <summary>Held upright, feet to a surface.</summary>
    UprightHeld,

    /// <summary>Held upright in space at the trunk.</summary>
    HeldInSpace,

    /// <summary>Held in prone suspension.</summary>
    ProneSuspended,

    /// <summary>Held vertically for a controlled lowering.</summary>
    VerticalHeld,
}

/// <summary>How well the item's ages are known.</summary>
public enum Confidence
{
    /// <summary>Population data agree.</summary>
    High,

    /// <summary>Some data, or texts that agree.</summary>
    Medium,

    /// <summary>Teaching texts only.</summary>
    Low,

    /// <summary>No acceptable source.</summary>
    VeryLow,
}

/// <summary>A condition of the child that keeps items from being tested.</summary>
public enum Exclusion
{
    /// <summary>Hip orthosis or harness.</summary>
    HipOrthosis,

    /// <summary>Hip dysplasia.</summary>
    HipDysplasia,

    /// <summary>Cervical instability, known or to be assumed.</summary>
    CervicalInstability,

    /// <summary>Torticollis.</summary>
    Torticollis,

    /// <summary>Tracheostomy.</summary>
    Tracheostomy,

    /// <summary>Bone fragility.</summary>
    BoneFragility,

    /// <summary>Fracture or plexus injury, known or suspected.</summary>
    FractureOrPlexusInjury,

    /// <summary>Unrepaired spinal defect, wound or dressing over the spine.</summary>
    SpinalDefectOrWound,

    /// <summary>Raised intracranial pressure or shunt precautions.</summary>
    RaisedIntracranialPressureOrShunt,

    /// <summary>Recent surgery.</summary>
    RecentSurgery,

    /// <summary>Aspiration risk or nil by mouth.</summary>
    AspirationRisk,

    /// <summary>Wound of the foot or heel.</summary>
    FootWound,

    /// <summary>Reflux that position or suspension provokes.</summary>
    Reflux,

    /// <summary>Physiologically unstable: nothing is tested.</summary>
    Unstable,
}

/// <summary>The unit an onset is given in.</summary>
public enum OnsetUnit
{
    /// <summary>Completed weeks of postmenstrual age.</summary>
    PmaWeeks,

    /// <summary>Calendar months from the expected date (from birth for a child born at term).</summary>
    CorrectedMonths,

    /// <summary>Present at birth at term: corrected age 0.</summary>
    Birth,
}

/// <summary>Where a source stands: read, read in a copy, recalled, or no source at all.</summary>
public enum Certainty
{
    /// <summary>Seen in the source itself.</summary>
    Text,

    /// <summary>Seen in a secondary copy that attributes it.</summary>
    Copy,

    /// <summary>Recalled from memory; to be verified.</summary>
    Memory,

    /// <summary>Common practice, without a source.</summary>
    Practice,
}

/// <summary>A source that figures point to.</summary>
/// <param name="Key">The short key used by figures.</param>
/// <param name="Citation">The full citation, or what the key stands for.</param>
/// <param name="Address">Where it can be found, when known.</param>
/// <param name="Seen">How it was seen.</param>
public sealed record ReferenceSource(string Key, string Citation, string? Address, Certainty Seen);

/// <summary>When an item is first expected.</summary>
/// <param name="Unit">The unit of the ages.</param>
/// <param name="From">The earliest usual age; the schedule counts from it.</param>
/// <param name="Through">The latest usual age of onset.</param>
/// <param name="Sources">Source keys.</param>
public sealed record OnsetFigure(OnsetUnit Unit, int From, int Through, IReadOnlyList<string> Sources);

/// <summary>The earliest age at which an item was ever published as seen.</summary>
/// <param name="Unit">The unit of the age.</param>
/// <param name="Value">The age.</param>
/// <param name="Sources">Source keys.</param>
public sealed record EarliestFigure(OnsetUnit Unit, int Value, IReadOnlyList<string> Sources);

/// <summary>An age in calendar months from the anchor, with its sources.</summary>
/// <param name="Months">The age in months, 0 through 60.</param>
/// <param name="Sources">Source keys.</param>
/// <param name="Note">What a reader must know about it.</param>
public sealed record MonthFigure(int Months, IReadOnlyList<string> Sources, string? Note = null);

/// <summary>A span of ages in calendar months from the anchor, with its sources.</summary>
/// <param name="FromMonths">First age.</param>
/// <param name="ThroughMonths">Last age.</param>
/// <param name="Sources">Source keys.</param>
/// <param name="Note">What a reader must know about it.</param>
public sealed record MonthSpanFigure(int FromMonths, int ThroughMonths, IReadOnlyList<string> Sources, string? Note = null);

/// <summary>The figures that drive an item's schedule.</summary>
/// <param name="Onset">When it is first expected.</param>
/// <param name="Earliest">The earliest age it was ever published as seen; shown, not used.</param>
/// <param name="UsualFrom">For an item that gives way: when the span in which it usually goes begins.</param>
/// <param name="UsualThrough">The usual deadline: gone by (gives way) or there by (emerges). Null for a lifelong item.</param>
/// <param name="Latest">The latest published limit. Null when sources call it variable.</param>
/// <param name="Absence">The span of ages in which a conclusive absence matters. Null when absence alone never matters.</param>
/// <param name="PartialAcceptedThrough">Up to here a partial response of an emerging item is normal, whatever the limit says.</param>
/// <param name="Ends">When an emerging item usually fades again.</param>
public sealed record ItemRuleFigures(
    OnsetFigure Onset,
    EarliestFigure? Earliest,
    MonthFigure? UsualFrom,
    MonthFigure? UsualThrough,
    MonthFigure? Latest,
    MonthSpanFigure? Absence,
    MonthFigure? PartialAcceptedThrough,
    MonthSpanFigure? Ends
);

/// <summary>What a figure of one source speaks about.</summary>
public enum FigureKind
{
    /// <summary>Onset of a primitive reflex.</summary>
    Onset,

    /// <summary>When it has gone.</summary>
    Goes,

    /// <summary>When a reaction appears.</summary>
    Appears,

    /// <summary>When a reaction fades or is replaced.</summary>
    Ends,
}

/// <summary>The unit of a source's figure.</summary>
public enum FigureUnit
{
    /// <summary>Completed weeks of postmenstrual age.</summary>
    PmaWeeks,

    /// <summary>Months of (corrected) age; may be fractional, as printed.</summary>
    Months,
}

/// <summary>One figure of one source, kept as published. Never averaged with another.</summary>
/// <param name="What">What it speaks about.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="From">The lower end, or null when the source gives no number.</param>
/// <param name="Through">The upper end, or null when the source gives no number.</param>
/// <param name="Source">The source's key.</param>
/// <param name="Certainty">How this figure was seen.</param>
/// <param name="Note">What the source says beyond the number.</param>
/// <param name="Holds">Whether it is one of the starting values that are kept visible as common practice without a source.</param>
public sealed record SourceFigure(
    FigureKind What,
    FigureUnit Unit,
    double? From,
    double? Through,
    string Source,
    Certainty Certainty,
    string? Note,
    bool Holds
);

/// <summary>The behavioural states in which a finding counts.</summary>
/// <param name="Best">The states to wait for.</param>
/// <param name="Usable">Further states that still count.</param>
/// <param name="Sources">Source keys.</param>
public sealed record SuitableStates(
    IReadOnlyList<BehaviouralState> Best,
    IReadOnlyList<BehaviouralState> Usable,
    IReadOnlyList<string> Sources
);

/// <summary>An exclusion that applies to an item, and why.</summary>
/// <param name="Exclusion">The child's condition.</param>
/// <param name="Why">The reason, as shown to the clinician.</param>
public sealed record ItemExclusion(Exclusion Exclusion, string Why);

/// <summary>A primitive reflex or postural reaction: how it is tested, what it means, and the figures for its schedule.</summary>
/// <remarks>Reference for a licensed clinician; never a diagnosis. Local protocol goes first.</remarks>
public sealed record ReferenceItem
{
    /// <summary>Stable identifier, lower case with underscores.</summary>
    public required string Id { get; init; }

    /// <summary>The usual name.</summary>
    public required string Name { get; init; }

    /// <summary>Other names in use.</summary>
    public required IReadOnlyList<string> Aliases { get; init; }

    /// <summary>The family.</summary>
    public required ItemFamily Family { get; init; }

    /// <summary>What it does over time.</summary>
    public required ItemCourse Course { get; init; }

    /// <summary>How the infant is placed.</summary>
    public required TestPosition Position { get; init; }

    /// <summary>How sides are compared.</summary>
    public required Sidedness Sided { get; init; }

    /// <summary>Whether it is scheduled only when the programme asks for it.</summary>
    public bool Optional { get; init; }

    /// <summary>Whether it tends to upset the infant and so goes last.</summary>
    public bool Upsetting { get; init; }

    /// <summary>How much handling it asks: 1 lying as found, 2 repositioned or pulled, 3 suspended, dropped or distressed.</summary>
    public required int Effort { get; init; }

    /// <summary>How well its ages are known.</summary>
    public required Confidence Confidence { get; init; }

    /// <summary>What the examiner does.</summary>
    public required string Stimulus { get; init; }

    /// <summary>What the infant is expected to do.</summary>
    public required string Response { get; init; }

    /// <summary>What it is for.</summary>
    public required string Purpose { get; init; }

    /// <summary>What can be in the way when it persists.</summary>
    public string? IfPersists { get; init; }

    /// <summary>What its absence can be associated with.</summary>
    public string? IfAbsent { get; init; }

    /// <summary>What a difference between sides can be associated with.</summary>
    public string? Asymmetry { get; init; }

    /// <summary>Cautions while testing.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>The child's conditions that rule it out.</summary>
    public required IReadOnlyList<ItemExclusion> ExcludedBy { get; init; }

    /// <summary>The states in which a finding counts.</summary>
    public required SuitableStates States { get; init; }

    /// <summary>Technique variants worth recording.</summary>
    public required IReadOnlyList<string> Variants { get; init; }

    /// <summary>The figures that drive the schedule.</summary>
    public required ItemRuleFigures Rule { get; init; }

    /// <summary>Every figure found, by source.</summary>
    public required IReadOnlyList<SourceFigure> Figures { get; init; }

    /// <summary>Where sources disagree, and other remarks.</summary>
    public required IReadOnlyList<string> Notes { get; init; }

    /// <summary>Whether the response word belongs to this item's grading.</summary>
    public bool Accepts(Response response) => Responses.Contains(response);

    /// <summary>The graded words of this item, from none to most.</summary>
    public IReadOnlyList<Response> Responses => Course == ItemCourse.Emerges ? EmergingWords : ReflexWords;

    /// <summary>The graded words of this item as a sentence part.</summary>
    public string ResponseWords => string.Join(", ", Responses.Select(response => response.ToWord()));

    private static readonly Response[] ReflexWords =
    [
        Findings.Response.Absent,
        Findings.Response.Weak,
        Findings.Response.Typical,
        Findings.Response.Brisk,
        Findings.Response.Obligatory,
    ];

    private static readonly Response[] EmergingWords = [Findings.Response.Absent, Findings.Response.Partial, Findings.Response.Complete];

    /// <summary>Whether a finding made in this state counts.</summary>
    public bool Suits(BehaviouralState state) => States.Best.Contains(state) || States.Usable.Contains(state);
}

/// <summary>A functional concern and the items that may be related to it.</summary>
/// <param name="Id">Stable identifier.</param>
/// <param name="Name">The concern as families and clinicians put it.</param>
/// <param name="Items">Item ids worth checking: may be related, nothing more.</param>
/// <param name="Sources">Source keys.</param>
public sealed record FunctionalConcern(string Id, string Name, IReadOnlyList<string> Items, IReadOnlyList<string> Sources);
