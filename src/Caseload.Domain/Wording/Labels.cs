using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Reference;

namespace Caseload.Domain.Wording;

/// <summary>What every term is called on screen and on paper.</summary>
public static class Labels
{
    /// <summary>A state in trade words; the step of persisting and late is said beside it.</summary>
    public static string Of(ItemState state) =>
        state switch
        {
            ItemState.NotYetExpected => "Not yet expected",
            ItemState.ExpectedNotYetSeen => "Expected, not yet seen",
            ItemState.PresentAsExpected => "Present as expected",
            ItemState.Fading => "Fading",
            ItemState.Integrated => "Integrated",
            ItemState.AwaitingConfirmation => "Awaiting confirmation",
            ItemState.Persisting => "Persisting",
            ItemState.DeadlinePassedUnchecked => "Deadline passed without a check",
            ItemState.AbsentWhenExpected => "Absent when expected",
            ItemState.OneSided => "One-sided",
            ItemState.Obligatory => "Obligatory",
            ItemState.Returned => "Returned",
            ItemState.Emerging => "Emerging",
            ItemState.Established => "Established",
            ItemState.Late => "Late",
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };

    /// <summary>A state with its step or confirmation.</summary>
    public static string Of(ItemState state, int step, bool isConfirmed) =>
        (state, step) switch
        {
            (ItemState.Persisting or ItemState.Late, 1) => Of(state) + ", past the usual age",
            (ItemState.Persisting or ItemState.Late, 2) => Of(state) + ", past the latest limit",
            (ItemState.AbsentWhenExpected, _) => Of(state) + (isConfirmed ? ", confirmed" : ", not confirmed"),
            _ => Of(state),
        };

    /// <summary>What a check is for.</summary>
    public static string Of(CheckPurpose purpose) =>
        purpose switch
        {
            CheckPurpose.None => "No check planned",
            CheckPurpose.FirstLook => "First look",
            CheckPurpose.WindowOpening => "Window opens",
            CheckPurpose.BeforeDeadline => "Before the deadline",
            CheckPurpose.AfterDeadline => "After the deadline",
            CheckPurpose.Confirm => "Confirm absence",
            CheckPurpose.Recheck => "Recheck",
            CheckPurpose.RepeatInconclusive => "Repeat, did not count",
            _ => throw new ArgumentOutOfRangeException(nameof(purpose)),
        };

    /// <summary>How urgent a state is.</summary>
    public static string Of(Concern concern) =>
        concern switch
        {
            Concern.None => "As expected",
            Concern.Watch => "Look again",
            Concern.Advisory => "Recheck and mention",
            Concern.Act => "Tell the physician",
            Concern.SameDay => "Same day",
            _ => throw new ArgumentOutOfRangeException(nameof(concern)),
        };

    /// <summary>A graded word.</summary>
    public static string Of(Response response) =>
        response switch
        {
            Response.Absent => "Absent",
            Response.Weak => "Weak",
            Response.Typical => "Typical",
            Response.Brisk => "Brisk",
            Response.Obligatory => "Obligatory",
            Response.Partial => "Partial",
            Response.Complete => "Complete",
            _ => throw new ArgumentOutOfRangeException(nameof(response)),
        };

    /// <summary>A side.</summary>
    public static string Of(Side side) =>
        side switch
        {
            Side.Both => "Both sides",
            Side.Left => "Left",
            Side.Right => "Right",
            _ => throw new ArgumentOutOfRangeException(nameof(side)),
        };

    /// <summary>A behavioural state.</summary>
    public static string Of(BehaviouralState state) =>
        state switch
        {
            BehaviouralState.DeepSleep => "Deep sleep",
            BehaviouralState.LightSleep => "Light sleep",
            BehaviouralState.Drowsy => "Drowsy",
            BehaviouralState.QuietAlert => "Quiet, alert",
            BehaviouralState.ActiveAlert => "Active, alert",
            BehaviouralState.Crying => "Crying",
            _ => throw new ArgumentOutOfRangeException(nameof(state)),
        };

    /// <summary>A reason why something could not be tested.</summary>
    public static string Of(NotTestedReason reason) =>
        reason switch
        {
            NotTestedReason.Asleep => "Asleep",
            NotTestedReason.Tired => "Drowsy or overtired",
            NotTestedReason.Crying => "Crying or fussing",
            NotTestedReason.JustFed => "Fed within the hour",
            NotTestedReason.Hungry => "Too hungry to settle",
            NotTestedReason.FirstDay => "Within a day of birth",
            NotTestedReason.Medication => "Sedative, anticonvulsant or opioid",
            NotTestedReason.MaternalMedication => "Mother's medication around birth",
            NotTestedReason.Withdrawal => "Withdrawal",
            NotTestedReason.Illness => "Fever or illness",
            NotTestedReason.PainOrProcedure => "Pain, procedure or vaccine",
            NotTestedReason.Cold => "Cold infant or cold hands",
            NotTestedReason.CastOrHarness => "Cast, splint, harness or swaddle",
            NotTestedReason.HeadPreference => "Torticollis or head preference",
            NotTestedReason.LimbInjury => "Fracture or plexus injury",
            NotTestedReason.Surroundings => "Noise, glare or disturbance",
            NotTestedReason.HeadNotMidline => "Head would not stay in midline",
            NotTestedReason.RepeatedTrials => "Too many trials already",
            NotTestedReason.EnoughHandling => "Enough handling for today",
            NotTestedReason.FamilyDeclined => "Family asked to leave it",
            NotTestedReason.Excluded => "Excluded for this child",
            _ => throw new ArgumentOutOfRangeException(nameof(reason)),
        };

    /// <summary>A condition that keeps items from being tested.</summary>
    public static string Of(Exclusion exclusion) =>
        exclusion switch
        {
            Exclusion.HipOrthosis => "Hip orthosis or harness",
            Exclusion.HipDysplasia => "Hip dysplasia",
            Exclusion.CervicalInstability => "Cervical instability",
            Exclusion.Torticollis => "Torticollis",
            Exclusion.Tracheostomy => "Tracheostomy",
            Exclusion.BoneFragility => "Bone fragility",
            Exclusion.FractureOrPlexusInjury => "Fracture or plexus injury",
            Exclusion.SpinalDefectOrWound => "Spinal defect or wound",
            Exclusion.RaisedIntracranialPressureOrShunt => "Raised intracranial pressure or shunt",
            Exclusion.RecentSurgery => "Recent surgery",
            Exclusion.AspirationRisk => "Aspiration risk",
            Exclusion.FootWound => "Foot or heel wound",
            Exclusion.Reflux => "Reflux",
            Exclusion.Unstable => "Physiologically unstable",
            _ => throw new ArgumentOutOfRangeException(nameof(exclusion)),
        };

    /// <summary>A test position.</summary>
    public static string Of(TestPosition position) =>
        position switch
        {
            TestPosition.Supine => "On the back",
            TestPosition.SemiReclined => "Half sitting",
            TestPosition.Held => "Held in the arms",
            TestPosition.Prone => "On the front",
            TestPosition.Sitting => "Sitting",
            TestPosition.AllFours => "Hands and knees",
            TestPosition.Standing => "Standing",
            TestPosition.UprightHeld => "Held upright, feet down",
            TestPosition.HeldInSpace => "Held upright in space",
            TestPosition.ProneSuspended => "Held in prone suspension",
            TestPosition.VerticalHeld => "Held for a lowering",
            _ => throw new ArgumentOutOfRangeException(nameof(position)),
        };

    /// <summary>A family of items.</summary>
    public static string Of(ItemFamily family) =>
        family switch
        {
            ItemFamily.Primitive => "Primitive reflexes",
            ItemFamily.Righting => "Righting reactions",
            ItemFamily.Antigravity => "Antigravity reaction",
            ItemFamily.Protective => "Protective extension",
            ItemFamily.Equilibrium => "Equilibrium reactions",
            _ => throw new ArgumentOutOfRangeException(nameof(family)),
        };

    /// <summary>How sides are compared.</summary>
    public static string Of(Sidedness sided) =>
        sided switch
        {
            Sidedness.None => "Midline, no sides",
            Sidedness.Paired => "One stimulus, compare left and right",
            Sidedness.Each => "Each side by itself",
            _ => throw new ArgumentOutOfRangeException(nameof(sided)),
        };

    /// <summary>How well ages are known.</summary>
    public static string Of(Confidence confidence) =>
        confidence switch
        {
            Confidence.High => "Population data agree",
            Confidence.Medium => "Some data, or texts that agree",
            Confidence.Low => "Teaching texts only",
            Confidence.VeryLow => "No acceptable source",
            _ => throw new ArgumentOutOfRangeException(nameof(confidence)),
        };

    /// <summary>How a source was seen.</summary>
    public static string Of(Certainty certainty) =>
        certainty switch
        {
            Certainty.Text => "Seen in the source",
            Certainty.Copy => "Seen in a copy that names the source",
            Certainty.Memory => "From memory, to be verified",
            Certainty.Practice => "Common practice, no source",
            _ => throw new ArgumentOutOfRangeException(nameof(certainty)),
        };

    /// <summary>What the reader of an age must know.</summary>
    public static string Of(AgeCaution caution) =>
        caution switch
        {
            AgeCaution.GestationUnknown =>
                "Gestation is not known, so nothing is corrected. If the child was born early, every date here comes too early.",
            AgeCaution.BeforeExpectedDate => "The expected date has not come yet; postmenstrual age is shown instead of a negative age.",
            AgeCaution.CorrectionEnded => "Correction is no longer shown at this age. Dates of checks still count from the expected date.",
            AgeCaution.EarlyTermNotCorrected => "Born at 37 weeks or later, so age is not corrected.",
            AgeCaution.PostTerm => "Born at 42 weeks or later; ages count from birth.",
            _ => throw new ArgumentOutOfRangeException(nameof(caution)),
        };
}
