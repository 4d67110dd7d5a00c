using System.Text.RegularExpressions;

namespace Caseload.Domain.Reference;

/// <summary>A fault found in a reference set.</summary>
/// <param name="Where">Item id and field, for example <c>moro.usualThrough</c>.</param>
/// <param name="What">What is wrong and what is allowed.</param>
public sealed record ReferenceFault(string Where, string What);

/// <summary>What must hold for a reference set to be used.</summary>
public static partial class ReferenceSetRules
{
    /// <summary>The source key for figures of the trade or of this project that no source backs.</summary>
    public const string CommonPractice = "common-practice";

    /// <summary>The longest age a schedule figure may name, in months.</summary>
    public const int LongestMonths = 60;

    /// <summary>Every fault of the whole set, not only the first; empty when it can be used.</summary>
    public static IReadOnlyList<ReferenceFault> FaultsOf(ReferenceSet set)
    {
        var faults = new List<ReferenceFault>();
        if (!Slug().IsMatch(set.Name))
        {
            faults.Add(new("name", $"\"{set.Name}\" is not a set name. Use lower-case letters, digits and hyphens."));
        }
        if (!Slug().IsMatch(set.Version))
        {
            faults.Add(new("version", $"\"{set.Version}\" is not a version. Use lower-case letters, digits, dots and hyphens."));
        }
        if (set.Items.Count == 0)
        {
            faults.Add(new("items", "The set has no items."));
        }
        AddDuplicates(faults, "sources", set.Sources.Select(source => source.Key));
        AddDuplicates(faults, "items", set.Items.Select(item => item.Id));
        AddDuplicates(faults, "concerns", set.Concerns.Select(concern => concern.Id));

        var keys = set.Sources.Select(source => source.Key).ToHashSet();
        foreach (var item in set.Items)
        {
            AddItemFaults(faults, item, keys);
        }
        var ids = set.Items.Select(item => item.Id).ToHashSet();
        foreach (var concern in set.Concerns)
        {
            AddSourceFaults(faults, "concern " + concern.Id, concern.Sources, keys);
            foreach (var id in concern.Items.Where(id => !ids.Contains(id)))
            {
                faults.Add(new("concern " + concern.Id, $"It points to \"{id}\", which is not an item of the set."));
            }
        }
        return faults;
    }

    private static void AddItemFaults(List<ReferenceFault> faults, ReferenceItem item, HashSet<string> keys)
    {
        foreach (
            var (field, text) in new[]
            {
                ("name", item.Name),
                ("stimulus", item.Stimulus),
                ("response", item.Response),
                ("purpose", item.Purpose),
            }
        )
        {
            if (string.IsNullOrWhiteSpace(text))
            {
                faults.Add(new($"{item.Id}.{field}", "It is empty. Every item needs it."));
            }
        }
        if (item.Effort is < 1 or > 3)
        {
            faults.Add(new($"{item.Id}.effort", $"{item.Effort} is not 1, 2 or 3."));
        }
        if (item.States.Best.Count == 0)
        {
            faults.Add(new($"{item.Id}.states", "No best state is named. A finding could never count."));
        }
        AddSourceFaults(faults, $"{item.Id}.states", item.States.Sources, keys);
        foreach (var figure in item.Figures)
        {
            AddSourceFaults(faults, $"{item.Id}.figures", [figure.Source], keys);
            if (figure.From > figure.Through)
            {
                faults.Add(new($"{item.Id}.figures", $"{figure.Source}: {figure.From} comes after {figure.Through}."));
            }
            if (figure.Source == CommonPractice != (figure.Certainty == Certainty.Practice))
            {
                faults.Add(
                    new($"{item.Id}.figures", $"{figure.Source}: a common-practice figure must be marked so, and only such a figure.")
                );
            }
        }
        AddRuleFaults(faults, item, keys);
    }

    private static void AddRuleFaults(List<ReferenceFault> faults, ReferenceItem item, HashSet<string> keys)
    {
        var rule = item.Rule;
        AddSourceFaults(faults, $"{item.Id}.onset", rule.Onset.Sources, keys);
        var (least, most) = rule.Onset.Unit == OnsetUnit.PmaWeeks ? (20, 44) : (0, LongestMonths);
        if (rule.Onset.From < least || rule.Onset.Through > most || rule.Onset.From > rule.Onset.Through)
        {
            faults.Add(new($"{item.Id}.onset", $"{rule.Onset.From} to {rule.Onset.Through} must run upwards within {least} to {most}."));
        }
        if (rule.Earliest is { } earliest)
        {
            AddSourceFaults(faults, $"{item.Id}.earliest", earliest.Sources, keys);
        }
        foreach (
            var (field, figure) in new[]
            {
                ("usualFrom", rule.UsualFrom),
                ("usualThrough", rule.UsualThrough),
                ("latest", rule.Latest),
                ("partialAcceptedThrough", rule.PartialAcceptedThrough),
            }
        )
        {
            if (figure is not null)
            {
                AddMonthFaults(faults, $"{item.Id}.{field}", figure.Months, figure.Months, figure.Sources, keys);
            }
        }
        foreach (var (field, figure) in new[] { ("absence", rule.Absence), ("ends", rule.Ends) })
        {
            if (figure is not null)
            {
                AddMonthFaults(faults, $"{item.Id}.{field}", figure.FromMonths, figure.ThroughMonths, figure.Sources, keys);
            }
        }

        var needsFrom = item.Course == ItemCourse.GivesWay;
        var needsThrough = item.Course != ItemCourse.Lifelong;
        if (needsFrom != rule.UsualFrom is not null)
        {
            faults.Add(new($"{item.Id}.usualFrom", needsFrom ? "An item that gives way needs it." : "Only an item that gives way has it."));
        }
        if (needsThrough != rule.UsualThrough is not null)
        {
            faults.Add(new($"{item.Id}.usualThrough", needsThrough ? "It needs a usual deadline." : "A lifelong item has no deadline."));
        }
        if (rule.UsualFrom?.Months > rule.UsualThrough?.Months)
        {
            faults.Add(
                new(
                    $"{item.Id}.usualThrough",
                    $"The usual deadline ({rule.UsualThrough!.Months} months) comes before the usual window opens ({rule.UsualFrom!.Months} months)."
                )
            );
        }
        if (rule.Latest?.Months < rule.UsualThrough?.Months)
        {
            faults.Add(
                new(
                    $"{item.Id}.latest",
                    $"The latest published limit ({rule.Latest!.Months} months) comes before the usual deadline ({rule.UsualThrough!.Months} months)."
                )
            );
        }
        if (rule.Onset.Unit == OnsetUnit.CorrectedMonths && rule.Onset.From > (rule.UsualFrom ?? rule.UsualThrough)?.Months)
        {
            faults.Add(new($"{item.Id}.onset", "It is expected only after its usual window."));
        }
        if (rule.Absence?.ThroughMonths > rule.UsualFrom?.Months)
        {
            faults.Add(new($"{item.Id}.absence", "Absence cannot matter in the window in which the reflex usually goes."));
        }
        if (item.Course != ItemCourse.GivesWay && rule.Absence is not null)
        {
            faults.Add(
                new($"{item.Id}.absence", "Only an item that gives way has a span in which absence matters; an emerging one has its limit.")
            );
        }
        if (item.Course != ItemCourse.Emerges && (rule.Ends is not null || rule.PartialAcceptedThrough is not null))
        {
            faults.Add(new($"{item.Id}.ends", "Only an emerging item fades again or is accepted in part."));
        }
    }

    private static void AddMonthFaults(
        List<ReferenceFault> faults,
        string where,
        int from,
        int through,
        IReadOnlyList<string> sources,
        HashSet<string> keys
    )
    {
        if (from < 0 || through > LongestMonths || from > through)
        {
            faults.Add(new(where, $"{from} to {through} months must run upwards within 0 to {LongestMonths}."));
        }
        AddSourceFaults(faults, where, sources, keys);
    }

    private static void AddSourceFaults(List<ReferenceFault> faults, string where, IReadOnlyList<string> sources, HashSet<string> keys)
    {
        if (sources.Count == 0)
        {
            faults.Add(new(where, $"It names no source. Name one, or {CommonPractice}."));
        }
        faults.AddRange(
            sources
                .Where(key => !keys.Contains(key))
                .Select(key => new ReferenceFault(where, $"Source \"{key}\" is not in the list of sources."))
        );
    }

    private static void AddDuplicates(List<ReferenceFault> faults, string where, IEnumerable<string> keys) =>
        faults.AddRange(
            keys.GroupBy(key => key)
                .Where(group => group.Count() > 1)
                .Select(group => new ReferenceFault(where, $"\"{group.Key}\" stands there {group.Count()} times."))
        );

    [GeneratedRegex("^[a-z0-9][a-z0-9.-]*$", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Slug();
}
