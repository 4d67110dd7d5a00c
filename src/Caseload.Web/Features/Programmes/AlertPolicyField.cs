using Caseload.Domain.Policy;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>A number of the alert policy as the form asks for it.</summary>
/// <param name="Name">The property, which refusals name too.</param>
/// <param name="Label">What it asks for.</param>
/// <param name="Unit">The unit.</param>
/// <param name="Meaning">What follows from it, in one sentence.</param>
/// <param name="Read">Reads it.</param>
/// <param name="Write">A policy with another value.</param>
public sealed record AlertPolicyField(
    string Name,
    string Label,
    string Unit,
    string Meaning,
    Func<AlertPolicy, int> Read,
    Func<AlertPolicy, int, AlertPolicy> Write
) : INumberField<AlertPolicy>
{
    /// <summary>The default in words.</summary>
    public string DefaultWords => $"Default {Read(AlertPolicy.Default)}: our assumption, no source.";

    /// <summary>Every number but the hour of the digest, which is chosen from a list.</summary>
    public static IReadOnlyList<AlertPolicyField> All { get; } =
    [
        new(
            nameof(AlertPolicy.NotVisitedWeeks),
            "A child counts as not visited after",
            "weeks",
            "Counted from the last finished visit, before the first from the day the programme took the child on.",
            policy => policy.NotVisitedWeeks,
            (policy, value) => policy with { NotVisitedWeeks = value }
        ),
        new(
            nameof(AlertPolicy.SameDayHours),
            "A same-day alert is answered within",
            "hours",
            "After that the team leads are told.",
            policy => policy.SameDayHours,
            (policy, value) => policy with { SameDayHours = value }
        ),
        new(
            nameof(AlertPolicy.ActDays),
            "An alert that asks to act is answered within",
            "days",
            "After that the team leads are told.",
            policy => policy.ActDays,
            (policy, value) => policy with { ActDays = value }
        ),
        new(
            nameof(AlertPolicy.AdvisoryDays),
            "An advisory alert is answered within",
            "days",
            "After that the team leads are told.",
            policy => policy.AdvisoryDays,
            (policy, value) => policy with { AdvisoryDays = value }
        ),
        new(
            nameof(AlertPolicy.WatchDays),
            "An alert to watch is answered within",
            "days",
            "After that the team leads are told.",
            policy => policy.WatchDays,
            (policy, value) => policy with { WatchDays = value }
        ),
    ];
}
