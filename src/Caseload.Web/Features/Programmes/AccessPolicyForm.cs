using Caseload.Data.Access;
using Caseload.Domain;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>The access policy while it is being typed.</summary>
public sealed class AccessPolicyForm
{
    private readonly AccessPolicy _policy;
    private readonly NumberTexts<AccessPolicy> _texts;

    private AccessPolicyForm(AccessPolicy policy)
    {
        _policy = policy;
        _texts = new NumberTexts<AccessPolicy>(AccessPolicyField.All, policy);
        NeedSecondFactor = [.. Enum.GetValues<Role>().Where(role => policy.NeedsSecondFactor([role]))];
    }

    /// <summary>The form of a policy.</summary>
    public static AccessPolicyForm Of(AccessPolicy policy) => new(policy);

    /// <summary>The form with the defaults filled in.</summary>
    public static AccessPolicyForm Defaults => new(AccessPolicy.Default);

    /// <summary>Roles that need a second factor.</summary>
    public HashSet<Role> NeedSecondFactor { get; }

    /// <summary>What was typed into a field.</summary>
    public string this[AccessPolicyField field]
    {
        get => _texts[field];
        set => _texts[field] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<AccessPolicy> Read() =>
        _texts.Read(
            _policy with
            {
                AdministratorsNeedSecondFactor = NeedSecondFactor.Contains(Role.Administrator),
                TeamLeadsNeedSecondFactor = NeedSecondFactor.Contains(Role.TeamLead),
                CliniciansNeedSecondFactor = NeedSecondFactor.Contains(Role.Clinician),
                ObserversNeedSecondFactor = NeedSecondFactor.Contains(Role.Observer),
            },
            read => read.Check()
        );
}
