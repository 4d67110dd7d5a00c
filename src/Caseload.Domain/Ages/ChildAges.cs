using Caseload.Domain.Policy;

namespace Caseload.Domain.Ages;

/// <summary>Which of a child's ages stands for it on a date.</summary>
public enum AgeBasis
{
    /// <summary>Counted from birth: born at term, gestation unknown, or past the age at which correction stops.</summary>
    Chronological,

    /// <summary>Counted from the expected date.</summary>
    Corrected,

    /// <summary>Weeks since the last menstrual period, shown until the expected date instead of a negative age.</summary>
    Postmenstrual,
}

/// <summary>Something the reader of an age must know.</summary>
public enum AgeCaution
{
    /// <summary>Gestation is not known, so nothing is corrected and every date may come too early for a child born preterm.</summary>
    GestationUnknown,

    /// <summary>The expected date has not come; postmenstrual weeks stand in place of a negative corrected age.</summary>
    BeforeExpectedDate,

    /// <summary>Born preterm, and now past the corrected age up to which the policy shows correction.</summary>
    CorrectionEnded,

    /// <summary>Born at or after 37+0 but before 40+0: by rule not corrected.</summary>
    EarlyTermNotCorrected,

    /// <summary>Born at 42+0 or later; ages count from birth.</summary>
    PostTerm,
}

/// <summary>A child's ages on one date.</summary>
/// <param name="On">The date.</param>
/// <param name="Chronological">Time since birth.</param>
/// <param name="Corrected">
/// Time since the expected date for a child born preterm, up to the policy's limit; equal to chronological age for a child born
/// at 37+0 or later; null before the expected date, past the limit, and when gestation is unknown.
/// </param>
/// <param name="Postmenstrual">Gestation plus time since birth; null when gestation is unknown.</param>
/// <param name="ExpectedOn">The expected date; null when gestation is unknown.</param>
/// <param name="Basis">The age to put first.</param>
/// <param name="Cautions">What the reader must know, in a fixed order.</param>
public sealed record ChildAges(
    DateOnly On,
    CalendarAge Chronological,
    CalendarAge? Corrected,
    WeeksAndDays? Postmenstrual,
    DateOnly? ExpectedOn,
    AgeBasis Basis,
    IReadOnlyList<AgeCaution> Cautions
)
{
    /// <summary>The ages of a child on a date, by the definitions of AAP 2004 (Pediatrics 114:1362) and the policy.</summary>
    /// <remarks>The limit for showing correction is tested on corrected age: a child of exactly 24 months corrected is past it.</remarks>
    /// <exception cref="ArgumentOutOfRangeException">The date lies before the birth.</exception>
    public static ChildAges Of(BirthFacts birth, DateOnly on, ReviewPolicy policy)
    {
        var chronological = CalendarAge.Between(birth.BornOn, on);
        var cautions = new List<AgeCaution>(2);
        if (birth.Gestation is not { } gestation)
        {
            cautions.Add(AgeCaution.GestationUnknown);
            return new ChildAges(on, chronological, null, null, null, AgeBasis.Chronological, cautions);
        }

        var postmenstrual = new WeeksAndDays(gestation.TotalDays + chronological.TotalDays);
        var expectedOn = birth.ExpectedOn!.Value;
        if (!birth.IsCorrected(policy.CorrectBelowDays))
        {
            if (gestation.TotalDays < GestationalAge.TermDays)
            {
                cautions.Add(AgeCaution.EarlyTermNotCorrected);
            }
            else if (gestation.TotalDays >= 42 * 7)
            {
                cautions.Add(AgeCaution.PostTerm);
            }
            return new ChildAges(on, chronological, chronological, postmenstrual, expectedOn, AgeBasis.Chronological, cautions);
        }
        if (on < expectedOn)
        {
            cautions.Add(AgeCaution.BeforeExpectedDate);
            return new ChildAges(on, chronological, null, postmenstrual, expectedOn, AgeBasis.Postmenstrual, cautions);
        }
        if (on >= expectedOn.AddMonths(policy.CorrectionMonths))
        {
            cautions.Add(AgeCaution.CorrectionEnded);
            return new ChildAges(on, chronological, null, postmenstrual, expectedOn, AgeBasis.Chronological, cautions);
        }
        var corrected = CalendarAge.Between(expectedOn, on);
        return new ChildAges(on, chronological, corrected, postmenstrual, expectedOn, AgeBasis.Corrected, cautions);
    }
}
