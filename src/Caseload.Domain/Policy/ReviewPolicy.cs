namespace Caseload.Domain.Policy;

/// <summary>The numbers a programme may set for itself. Every default is common practice, without a published source, unless stated.</summary>
/// <remarks>All lengths are in days unless the name says months. A programme's own protocol overrides every one of them.</remarks>
public sealed record ReviewPolicy
{
    /// <summary>The defaults.</summary>
    public static ReviewPolicy Default { get; } = new();

    /// <summary>Born before this gestation (in days) a child's age is corrected. Default 259 (37w0d), WHO's limit for preterm birth.</summary>
    public int CorrectBelowDays { get; init; } = 259;

    /// <summary>Corrected age in months up to which correction is shown. Default 24 (NICE NG62, AAP parent guidance); 36 follows AAP 2004.</summary>
    public int CorrectionMonths { get; init; } = 24;

    /// <summary>Days after the usual deadline before a response still seen is called persisting, or a missing check is flagged.</summary>
    public int GraceDays { get; init; } = 14;

    /// <summary>Least number of days between the two absences that make a reflex integrated.</summary>
    public int ConfirmAfterDays { get; init; } = 7;

    /// <summary>Days after a first absence by which the second check should be done.</summary>
    public int ConfirmThroughDays { get; init; } = 28;

    /// <summary>Length of a first look and of a look when the usual window opens.</summary>
    public int FirstLookDays { get; init; } = 28;

    /// <summary>How long before the usual deadline the check before it may be done.</summary>
    public int BeforeDeadlineDays { get; init; } = 28;

    /// <summary>Earliest recheck of a response that persists or an emerging one that is late.</summary>
    public int RecheckFromDays { get; init; } = 14;

    /// <summary>Latest recheck of a response that persists or an emerging one that is late.</summary>
    public int RecheckThroughDays { get; init; } = 28;

    /// <summary>Earliest recheck of an absent, one-sided or obligatory response, and of an inconclusive check.</summary>
    public int ConcernRecheckFromDays { get; init; } = 7;

    /// <summary>Latest recheck of an absent, one-sided or obligatory response, and of an inconclusive check.</summary>
    public int ConcernRecheckThroughDays { get; init; } = 14;

    /// <summary>Latest look again at a response that came back; the medical route comes first, the same day.</summary>
    public int ReturnedRecheckThroughDays { get; init; } = 7;

    /// <summary>How much handling one visit may ask of an infant: the sum of the planned checks' effort (1 to 3 each).</summary>
    public int HandlingBudget { get; init; } = 16;

    /// <summary>Whether items marked optional (distressing, weak evidence) are scheduled as well.</summary>
    public bool ScheduleOptionalItems { get; init; }

    /// <summary>Checks that the numbers can work together.</summary>
    public Checked<ReviewPolicy> Check()
    {
        var refusals = new List<Refusal>();
        Range(
            CorrectBelowDays,
            196,
            280,
            nameof(CorrectBelowDays),
            "Correction must start below a gestation of 28 to 40 weeks (196 to 280 days)."
        );
        Range(CorrectionMonths, 12, 36, nameof(CorrectionMonths), "Correction may be shown up to 12 to 36 months.");
        Range(GraceDays, 0, 60, nameof(GraceDays), "The grace after a deadline may be 0 to 60 days.");
        Range(ConfirmAfterDays, 1, 60, nameof(ConfirmAfterDays), "Two absences must lie 1 to 60 days apart.");
        Range(
            ConfirmThroughDays,
            ConfirmAfterDays,
            120,
            nameof(ConfirmThroughDays),
            "The second absence must be looked for no earlier than it counts, and within 120 days."
        );
        Range(FirstLookDays, 1, 120, nameof(FirstLookDays), "A first look may take 1 to 120 days.");
        Range(BeforeDeadlineDays, 1, 120, nameof(BeforeDeadlineDays), "The check before a deadline may start 1 to 120 days before it.");
        Range(
            RecheckThroughDays,
            RecheckFromDays,
            120,
            nameof(RecheckThroughDays),
            "The latest recheck must not come before the earliest, and within 120 days."
        );
        Range(RecheckFromDays, 1, 120, nameof(RecheckFromDays), "The earliest recheck may come 1 to 120 days later.");
        Range(ConcernRecheckFromDays, 1, 60, nameof(ConcernRecheckFromDays), "The earliest recheck may come 1 to 60 days later.");
        Range(
            ConcernRecheckThroughDays,
            ConcernRecheckFromDays,
            60,
            nameof(ConcernRecheckThroughDays),
            "The latest recheck must not come before the earliest, and within 60 days."
        );
        Range(
            ReturnedRecheckThroughDays,
            1,
            30,
            nameof(ReturnedRecheckThroughDays),
            "A response that came back is looked at again within 1 to 30 days."
        );
        Range(HandlingBudget, 3, 60, nameof(HandlingBudget), "The handling budget of a visit may be 3 to 60.");
        return refusals.Count == 0 ? Checked.Accept(this) : Checked.Refuse<ReviewPolicy>(refusals);

        void Range(int value, int least, int most, string field, string message)
        {
            if (value < least || value > most)
            {
                refusals.Add(new Refusal(field, message));
            }
        }
    }
}
