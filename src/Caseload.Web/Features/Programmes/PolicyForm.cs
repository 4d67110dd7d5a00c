using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Policy;

namespace Caseload.Web.Features.Programmes;

/// <summary>The review policy while it is being typed.</summary>
public sealed class PolicyForm(ReviewPolicy policy)
{
    private readonly Dictionary<string, string> _texts = PolicyField
        .Groups.SelectMany(group => group.Fields)
        .ToDictionary(field => field.Name, field => field.Read(policy).ToString(CultureInfo.InvariantCulture));

    /// <summary>Whether optional items are scheduled.</summary>
    public bool ScheduleOptionalItems { get; set; } = policy.ScheduleOptionalItems;

    /// <summary>What was typed into a field.</summary>
    public string this[PolicyField field]
    {
        get => _texts[field.Name];
        set => _texts[field.Name] = value;
    }

    /// <summary>The policy, or everything that keeps it from being one.</summary>
    public Checked<ReviewPolicy> Read()
    {
        var read = policy with { ScheduleOptionalItems = ScheduleOptionalItems };
        var refusals = new List<Refusal>();
        foreach (var field in PolicyField.Groups.SelectMany(group => group.Fields))
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
        return refusals.Count > 0 ? Checked.Refuse<ReviewPolicy>(refusals) : read.Check();
    }
}
