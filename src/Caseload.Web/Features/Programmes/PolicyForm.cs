using Caseload.Domain;
using Caseload.Domain.Policy;
using Caseload.Web.Ui;

namespace Caseload.Web.Features.Programmes;

/// <summary>The review policy while it is being typed.</summary>
public sealed class PolicyForm(ReviewPolicy policy)
{
    private readonly NumberTexts<ReviewPolicy> _texts = new(PolicyField.Groups.SelectMany(group => group.Fields), policy);

    /// <summary>Whether optional items are scheduled.</summary>
    public bool ScheduleOptionalItems { get; set; } = policy.ScheduleOptionalItems;

    /// <summary>What was typed into a field.</summary>
    public string this[PolicyField field]
    {
        get => _texts[field];
        set => _texts[field] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<ReviewPolicy> Read() => _texts.Read(policy with { ScheduleOptionalItems = ScheduleOptionalItems }, read => read.Check());
}
