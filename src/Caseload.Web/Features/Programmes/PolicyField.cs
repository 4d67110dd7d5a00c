using System.Globalization;
using Caseload.Domain.Policy;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>A number of the review policy as the form asks for it.</summary>
/// <param name="Name">The property, which refusals name too.</param>
/// <param name="Label">What it asks for.</param>
/// <param name="Unit">The unit.</param>
/// <param name="Basis">What the default rests on.</param>
/// <param name="Read">Reads it.</param>
/// <param name="Write">A policy with another value.</param>
public sealed record PolicyField(
    string Name,
    string Label,
    string Unit,
    string Basis,
    Func<ReviewPolicy, int> Read,
    Func<ReviewPolicy, int, ReviewPolicy> Write
) : INumberField<ReviewPolicy>
{
    private const string NoSource = "common practice, no source";

    /// <summary>Whether no source backs the default.</summary>
    public bool IsCommonPractice => Basis == NoSource;

    /// <summary>The default in words.</summary>
    public string DefaultWords => string.Create(CultureInfo.InvariantCulture, $"Default {Read(ReviewPolicy.Default)}{Remark}");

    private string Remark => Name == nameof(ReviewPolicy.CorrectBelowDays) ? " (37 weeks)" : "";

    /// <summary>Every number, in groups.</summary>
    public static IReadOnlyList<PolicyGroup> Groups { get; } =
    [
        new(
            "Correcting for early birth",
            [
                new(
                    nameof(ReviewPolicy.CorrectBelowDays),
                    "Correct the age of a child born before",
                    "days of gestation",
                    "the WHO limit for preterm birth",
                    policy => policy.CorrectBelowDays,
                    (policy, value) => policy with { CorrectBelowDays = value }
                ),
                new(
                    nameof(ReviewPolicy.CorrectionMonths),
                    "Show the corrected age up to",
                    "months",
                    "NICE NG62 and AAP guidance for parents; 36 follows AAP 2004",
                    policy => policy.CorrectionMonths,
                    (policy, value) => policy with { CorrectionMonths = value }
                ),
            ]
        ),
        new(
            "First looks and deadlines",
            [
                Days(
                    nameof(ReviewPolicy.FirstLookDays),
                    "Time for a first look, and for a look when the window opens",
                    policy => policy.FirstLookDays,
                    (policy, value) => policy with { FirstLookDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.BeforeDeadlineDays),
                    "The check before the usual deadline may start this long before it",
                    policy => policy.BeforeDeadlineDays,
                    (policy, value) => policy with { BeforeDeadlineDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.GraceDays),
                    "Grace after the usual deadline before it is called persisting or missed",
                    policy => policy.GraceDays,
                    (policy, value) => policy with { GraceDays = value }
                ),
            ]
        ),
        new(
            "Confirming that a reflex has gone",
            [
                Days(
                    nameof(ReviewPolicy.ConfirmAfterDays),
                    "Two absences count when they are at least this far apart",
                    policy => policy.ConfirmAfterDays,
                    (policy, value) => policy with { ConfirmAfterDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.ConfirmThroughDays),
                    "Do the second check within",
                    policy => policy.ConfirmThroughDays,
                    (policy, value) => policy with { ConfirmThroughDays = value }
                ),
            ]
        ),
        new(
            "Looking again",
            [
                Days(
                    nameof(ReviewPolicy.RecheckFromDays),
                    "Persisting or late: recheck no earlier than",
                    policy => policy.RecheckFromDays,
                    (policy, value) => policy with { RecheckFromDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.RecheckThroughDays),
                    "Persisting or late: recheck no later than",
                    policy => policy.RecheckThroughDays,
                    (policy, value) => policy with { RecheckThroughDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.ConcernRecheckFromDays),
                    "Absent, one-sided, obligatory or not conclusive: no earlier than",
                    policy => policy.ConcernRecheckFromDays,
                    (policy, value) => policy with { ConcernRecheckFromDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.ConcernRecheckThroughDays),
                    "Absent, one-sided, obligatory or not conclusive: no later than",
                    policy => policy.ConcernRecheckThroughDays,
                    (policy, value) => policy with { ConcernRecheckThroughDays = value }
                ),
                Days(
                    nameof(ReviewPolicy.ReturnedRecheckThroughDays),
                    "Came back after it had gone: look again within (the physician comes first, the same day)",
                    policy => policy.ReturnedRecheckThroughDays,
                    (policy, value) => policy with { ReturnedRecheckThroughDays = value }
                ),
            ]
        ),
        new(
            "One visit",
            [
                new(
                    nameof(ReviewPolicy.HandlingBudget),
                    "Handling one visit may ask of an infant",
                    "points, 1 to 3 a check",
                    NoSource,
                    policy => policy.HandlingBudget,
                    (policy, value) => policy with { HandlingBudget = value }
                ),
            ]
        ),
    ];

    private static PolicyField Days(string name, string label, Func<ReviewPolicy, int> read, Func<ReviewPolicy, int, ReviewPolicy> write) =>
        new(name, label, "days", NoSource, read, write);
}

/// <summary>Numbers of the review policy that belong together.</summary>
public sealed record PolicyGroup(string Title, IReadOnlyList<PolicyField> Fields);
