using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>The alert policy while it is being typed.</summary>
public sealed class AlertPolicyForm
{
    private readonly AlertPolicy _policy;
    private readonly NumberTexts<AlertPolicy> _texts;

    private AlertPolicyForm(AlertPolicy policy)
    {
        _policy = policy;
        _texts = new NumberTexts<AlertPolicy>(AlertPolicyField.All, policy);
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
        get => _texts[field];
        set => _texts[field] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<AlertPolicy> Read() =>
        _texts.Read(_policy with { DigestDay = DigestDay, DigestHour = DigestHour, MailNaming = MailNaming }, read => read.Check());
}
