using System.Globalization;
using Caseload.Data.Access;
using Caseload.Domain;

namespace Caseload.Web.Features.Programmes;

/// <summary>The access policy while it is being typed.</summary>
public sealed class AccessPolicyForm
{
    private readonly AccessPolicy _policy;
    private readonly Dictionary<string, string> _texts;

    private AccessPolicyForm(AccessPolicy policy)
    {
        _policy = policy;
        _texts = AccessPolicyField.All.ToDictionary(
            field => field.Name,
            field => field.Read(policy).ToString(CultureInfo.InvariantCulture)
        );
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
        get => _texts[field.Name];
        set => _texts[field.Name] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<AccessPolicy> Read()
    {
        var read = _policy with
        {
            AdministratorsNeedSecondFactor = NeedSecondFactor.Contains(Role.Administrator),
            TeamLeadsNeedSecondFactor = NeedSecondFactor.Contains(Role.TeamLead),
            CliniciansNeedSecondFactor = NeedSecondFactor.Contains(Role.Clinician),
            ObserversNeedSecondFactor = NeedSecondFactor.Contains(Role.Observer),
        };
        var refusals = new List<Refusal>();
        foreach (var field in AccessPolicyField.All)
        {
            if (int.TryParse(_texts[field.Name].Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var value))
            {
                read = field.Write(read, value);
            }
            else
            {
                refusals.Add(new Refusal(field.Name, "Use a whole number."));
            }
        }
        return refusals.Count > 0 ? Checked.Refuse<AccessPolicy>(refusals) : read.Check();
    }
}
