using Caseload.Data.Access;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>A number of the access policy as the form asks for it.</summary>
/// <param name="Name">The property, which refusals name too.</param>
/// <param name="Label">What it asks for.</param>
/// <param name="Unit">The unit.</param>
/// <param name="Meaning">What follows from it, in one sentence.</param>
/// <param name="Basis">What the default rests on.</param>
/// <param name="Read">Reads it.</param>
/// <param name="Write">A policy with another value.</param>
public sealed record AccessPolicyField(
    string Name,
    string Label,
    string Unit,
    string Meaning,
    string Basis,
    Func<AccessPolicy, int> Read,
    Func<AccessPolicy, int, AccessPolicy> Write
) : INumberField<AccessPolicy>
{
    private const string Assumption = "our assumption";

    /// <summary>The default in words.</summary>
    public string DefaultWords => $"Default {Read(AccessPolicy.Default)}: {Basis}.";

    /// <summary>Every number.</summary>
    public static IReadOnlyList<AccessPolicyField> All { get; } =
    [
        new(
            nameof(AccessPolicy.IdleMinutes),
            "Sign people out after",
            "minutes without activity",
            "A tablet that was left lying shows nothing after this.",
            Assumption + "; NIST SP 800-63B-4 allows an hour at its second level",
            policy => policy.IdleMinutes,
            (policy, value) => policy with { IdleMinutes = value }
        ),
        new(
            nameof(AccessPolicy.SignInHours),
            "Ask for a new sign-in after",
            "hours",
            "Active or not; what is typed stays as a draft.",
            Assumption + "; NIST SP 800-63B-4 allows a day at its second level",
            policy => policy.SignInHours,
            (policy, value) => policy with { SignInHours = value }
        ),
        new(
            nameof(AccessPolicy.InvitationDays),
            "An invitation is good for",
            "days",
            "After that an administrator makes a new one.",
            Assumption,
            policy => policy.InvitationDays,
            (policy, value) => policy with { InvitationDays = value }
        ),
        new(
            nameof(AccessPolicy.ReasonHours),
            "A child opened for a stated reason stays open for",
            "hours",
            "It closes by itself, and the team lead looks it over.",
            Assumption,
            policy => policy.ReasonHours,
            (policy, value) => policy with { ReasonHours = value }
        ),
        new(
            nameof(AccessPolicy.AccessRecordYears),
            "Keep the access record for",
            "years",
            "Older entries may be removed, from the oldest on.",
            Assumption + ", after 45 CFR 164.316(b)(2)(i), which speaks of documentation",
            policy => policy.AccessRecordYears,
            (policy, value) => policy with { AccessRecordYears = value }
        ),
        new(
            nameof(AccessPolicy.ChildRecordYears),
            "Keep a closed case for",
            "years",
            "Before that its record cannot be destroyed; your state's rule goes first.",
            Assumption,
            policy => policy.ChildRecordYears,
            (policy, value) => policy with { ChildRecordYears = value }
        ),
    ];
}
