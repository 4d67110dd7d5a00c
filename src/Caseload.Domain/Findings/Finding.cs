using Caseload.Domain.Reference;

namespace Caseload.Domain.Findings;

/// <summary>One look at one item, on one side or both. Never edited: a correction is a new finding that points to the old one.</summary>
/// <param name="Id">Given by whoever records it.</param>
/// <param name="Item">The item's id in the reference set.</param>
/// <param name="ObservedOn">The day of the look.</param>
/// <param name="Side">Where; items without sides use <see cref="Side.Both"/>.</param>
/// <param name="Response">What was seen; null when it could not be tested.</param>
/// <param name="State">The infant's behavioural state; null when not recorded, which counts as suitable but is said in the reasons.</param>
/// <param name="NotTested">Why it could not be tested; null when it was.</param>
public sealed record Finding(
    Guid Id,
    string Item,
    DateOnly ObservedOn,
    Side Side,
    Response? Response,
    BehaviouralState? State,
    NotTestedReason? NotTested = null
)
{
    /// <summary>The technique variant used, in words from the reference set; null for the usual one.</summary>
    public string? Variant { get; init; }

    /// <summary>A note for colleagues; never logged.</summary>
    public string? Note { get; init; }

    /// <summary>The finding that this one replaces, when it is a correction.</summary>
    public Guid? Corrects { get; init; }

    /// <summary>Why it was corrected; required with <see cref="Corrects"/>.</summary>
    public string? CorrectionReason { get; init; }

    /// <summary>True for a correction that only takes the old finding back and puts nothing in its place.</summary>
    public bool IsWithdrawal { get; init; }

    /// <summary>Checks a finding against the reference set and the child's birth date before it is kept.</summary>
    /// <returns>The finding, or every refusal with the field concerned.</returns>
    public static Checked<Finding> Check(Finding finding, ReferenceSet set, DateOnly bornOn, DateOnly todayOn)
    {
        var refusals = new List<Refusal>();
        if (set.Find(finding.Item) is not { } item)
        {
            refusals.Add(
                new Refusal(
                    "item",
                    $"\"{finding.Item}\" is not an item of reference set {set.Key}. Use an item id of that set, for example moro."
                )
            );
            return Checked.Refuse<Finding>(refusals);
        }
        if (finding.ObservedOn < bornOn)
        {
            refusals.Add(
                new Refusal(
                    "on",
                    $"{item.Name} is dated {finding.ObservedOn:yyyy-MM-dd}, before the birth on {bornOn:yyyy-MM-dd}. Correct the date."
                )
            );
        }
        if (finding.ObservedOn > todayOn)
        {
            refusals.Add(
                new Refusal(
                    "on",
                    $"{item.Name} is dated {finding.ObservedOn:yyyy-MM-dd}, after {todayOn:yyyy-MM-dd}. Enter a date that has passed."
                )
            );
        }
        if (finding.Corrects is not null && string.IsNullOrWhiteSpace(finding.CorrectionReason))
        {
            refusals.Add(new Refusal("correctionReason", "A correction needs a reason. Say what was wrong with the earlier entry."));
        }
        if (finding.IsWithdrawal)
        {
            if (finding.Corrects is null)
            {
                refusals.Add(new Refusal("corrects", "Taking a finding back needs the finding it takes back."));
            }
        }
        else if (finding.Response is null == finding.NotTested is null)
        {
            refusals.Add(new Refusal("response", $"{item.Name}: give either a response or the reason why it could not be tested."));
        }
        else if (finding.Response is { } response && !item.Accepts(response))
        {
            refusals.Add(
                new Refusal("response", $"{item.Name} is graded {item.ResponseWords}; \"{response.ToWord()}\" is not one of them.")
            );
        }
        if (finding.Side != Side.Both && item.Sided == Sidedness.None)
        {
            refusals.Add(new Refusal("side", $"{item.Name} has no sides. Leave the side empty."));
        }
        return refusals.Count == 0 ? Checked.Accept(finding) : Checked.Refuse<Finding>(refusals);
    }
}

/// <summary>The findings that stand: everything recorded, less what was corrected or taken back.</summary>
public static class StandingFindings
{
    /// <summary>Leaves out corrected findings and withdrawals; the order of the input does not matter to the result's meaning.</summary>
    public static IEnumerable<Finding> Of(IReadOnlyCollection<Finding> recorded)
    {
        var replaced = recorded.Where(finding => finding.Corrects is not null).Select(finding => finding.Corrects!.Value).ToHashSet();
        return recorded.Where(finding => !finding.IsWithdrawal && !replaced.Contains(finding.Id));
    }
}
