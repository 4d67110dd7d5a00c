using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Policy;

namespace Caseload.Web.Features.Programmes;

/// <summary>The alert policy while it is being typed.</summary>
public sealed class AlertPolicyForm
{
    private readonly AlertPolicy _policy;
    private readonly Dictionary<string, string> _texts;

    private AlertPolicyForm(AlertPolicy policy)
    {
        _policy = policy;
        _texts = AlertPolicyField.All.ToDictionary(field => field.Name, field => field.Read(policy).ToString(CultureInfo.InvariantCulture));
        (DigestDay, DigestHour, MailNaming) = (policy.DigestDay, policy.DigestHour, policy.MailNaming);
    }

    /// <summary>The form of a policy.</summary>
    public static AlertPolicyForm Of(AlertPolicy policy) => new(policy);

    /// <summary>The form with the defaults filled in.</summary>
    public static AlertPolicyForm Defaults => new(AlertPolicy.Default);

    /// <summary>The weekday of the digest.</summary>
    public DayOfWeek DigestDay { get; set; }

    /// <summary>The hour of the digest.</summary>
    public int DigestHour { get; set; }

    /// <summary>How a child is called in mail.</summary>
    public MailNaming MailNaming { get; set; }

    /// <summary>What was typed into a field.</summary>
    public string this[AlertPolicyField field]
    {
        get => _texts[field.Name];
        set => _texts[field.Name] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<AlertPolicy> Read()
    {
        var read = _policy with { DigestDay = DigestDay, DigestHour = DigestHour, MailNaming = MailNaming };
        var refusals = new List<Refusal>();
        foreach (var field in AlertPolicyField.All)
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
        return refusals.Count > 0 ? Checked.Refuse<AlertPolicy>(refusals) : read.Check();
    }
}
