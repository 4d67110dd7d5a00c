using Caseload.Domain;

namespace Caseload.Data.Access;

/// <summary>The programme's rules for signing in, for reaching children and for keeping records. Defaults are our assumptions unless stated.</summary>
public sealed record AccessPolicy
{
    /// <summary>The defaults.</summary>
    public static AccessPolicy Default { get; } = new();

    /// <summary>Minutes without activity after which a person is signed out. NIST SP 800-63B-4 says an hour at most for its second level.</summary>
    public int IdleMinutes { get; init; } = 15;

    /// <summary>Hours after which a person signs in anew, active or not. NIST SP 800-63B-4 says 24 at most for its second level.</summary>
    public int SignInHours { get; init; } = 12;

    /// <summary>Whether administrators need a second factor.</summary>
    public bool AdministratorsNeedSecondFactor { get; init; } = true;

    /// <summary>Whether team leads need a second factor.</summary>
    public bool TeamLeadsNeedSecondFactor { get; init; } = true;

    /// <summary>Whether clinicians need a second factor.</summary>
    public bool CliniciansNeedSecondFactor { get; init; } = true;

    /// <summary>Whether observers need a second factor.</summary>
    public bool ObserversNeedSecondFactor { get; init; } = true;

    /// <summary>Hours for which a child stays open to a person who stated a reason.</summary>
    public int ReasonHours { get; init; } = 8;

    /// <summary>Days for which an invitation is good.</summary>
    public int InvitationDays { get; init; } = 7;

    /// <summary>Years for which the access record is kept; six follows 45 CFR 164.316(b)(2)(i), which speaks of documentation.</summary>
    public int AccessRecordYears { get; init; } = 6;

    /// <summary>Years after closing for which a child's record is kept before it may be destroyed. Your state's rule goes first.</summary>
    public int ChildRecordYears { get; init; } = 6;

    /// <summary>Whether a person with these roles needs a second factor.</summary>
    public bool NeedsSecondFactor(IReadOnlyCollection<Role> roles) =>
        (AdministratorsNeedSecondFactor && roles.Contains(Role.Administrator))
        || (TeamLeadsNeedSecondFactor && roles.Contains(Role.TeamLead))
        || (CliniciansNeedSecondFactor && roles.Contains(Role.Clinician))
        || (ObserversNeedSecondFactor && roles.Contains(Role.Observer));

    /// <summary>Checks that the numbers lie where they protect and still let people work; refusals name the property.</summary>
    public Checked<AccessPolicy> Check()
    {
        var refusals = new List<Refusal>();
        Range(IdleMinutes, 5, 60, nameof(IdleMinutes), "minutes");
        Range(SignInHours, 1, 24, nameof(SignInHours), "hours");
        Range(ReasonHours, 1, 72, nameof(ReasonHours), "hours");
        Range(InvitationDays, 1, 30, nameof(InvitationDays), "days");
        Range(AccessRecordYears, 6, 50, nameof(AccessRecordYears), "years");
        Range(ChildRecordYears, 1, 50, nameof(ChildRecordYears), "years");
        return refusals.Count == 0 ? Checked.Accept(this) : Checked.Refuse<AccessPolicy>(refusals);

        void Range(int value, int least, int most, string field, string unit)
        {
            if (value < least || value > most)
            {
                refusals.Add(new Refusal(field, $"Enter a number of {unit} from {least} to {most}."));
            }
        }
    }
}
