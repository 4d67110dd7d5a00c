using System.Globalization;
using Caseload.Domain;
using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Reference;

/// <summary>The schedule figures that may be changed in a new version.</summary>
public enum ScheduleFigure
{
    /// <summary>First expected.</summary>
    Onset,

    /// <summary>The usual window opens.</summary>
    UsualFrom,

    /// <summary>The usual deadline.</summary>
    UsualThrough,

    /// <summary>The latest published limit.</summary>
    Latest,

    /// <summary>The span in which absence matters.</summary>
    Absence,

    /// <summary>A partial response is accepted until then.</summary>
    PartialAcceptedThrough,

    /// <summary>Fades again.</summary>
    Ends,
}

/// <summary>One or two ages; both are the same when a figure has only one.</summary>
public sealed record FigureAges(int From, int Through);

/// <summary>One schedule figure in the form for a new version: what it was, and what has been typed.</summary>
/// <param name="figure">Which figure.</param>
/// <param name="unit">The unit in words.</param>
/// <param name="original">What it was; null when the set has none.</param>
public sealed class FigureEntry(ScheduleFigure figure, string unit, FigureAges? original)
{
    private readonly List<string> _sources = [];

    /// <summary>Which figure.</summary>
    public ScheduleFigure Figure => figure;

    /// <summary>The name under which <see cref="ReferenceSetRules"/> names its faults.</summary>
    public string Field { get; } = char.ToLowerInvariant(figure.ToString()[0]) + figure.ToString()[1..];

    /// <summary>The unit in words.</summary>
    public string Unit => unit;

    /// <summary>What it was.</summary>
    public FigureAges? Original => original;

    /// <summary>Whether it has two ends.</summary>
    public bool IsSpan => figure is ScheduleFigure.Onset or ScheduleFigure.Absence or ScheduleFigure.Ends;

    /// <summary>The lower end, or the only age, as typed.</summary>
    public string FromText { get; set; } = TextOf(original?.From);

    /// <summary>The upper end as typed; not used when there is one age.</summary>
    public string ThroughText { get; set; } = TextOf(original?.Through);

    /// <summary>Sources picked for a changed figure; none means common practice.</summary>
    public IReadOnlyList<string> PickedSources => _sources;

    /// <summary>The sources that the changed figure will name.</summary>
    public IReadOnlyList<string> Sources => _sources.Count > 0 ? [.. _sources] : [ReferenceSetRules.CommonPractice];

    /// <summary>Whether it differs from what it was, or cannot be read.</summary>
    public bool IsChanged => Problem is not null || Ages != original;

    /// <summary>What was typed, as ages; null when empty or not readable.</summary>
    public FigureAges? Ages =>
        Read(FromText) is { } from && (IsSpan ? Read(ThroughText) : from) is { } through ? new FigureAges(from, through) : null;

    /// <summary>Why what was typed cannot be read.</summary>
    public string? Problem
    {
        get
        {
            var texts = IsSpan ? new[] { FromText, ThroughText } : [FromText];
            if (texts.Any(text => !string.IsNullOrWhiteSpace(text) && Read(text) is null))
            {
                return "Use whole numbers.";
            }
            return texts.All(string.IsNullOrWhiteSpace)
                ? figure == ScheduleFigure.Onset
                    ? "Every item needs an age from which it is expected."
                    : null
                : texts.Any(string.IsNullOrWhiteSpace)
                    ? "Fill in both ages, or neither."
                    : null;
        }
    }

    /// <summary>What the figure is called.</summary>
    public static string NameOf(ScheduleFigure figure) =>
        figure switch
        {
            ScheduleFigure.Onset => "Expected from",
            ScheduleFigure.UsualFrom => "Usual window opens",
            ScheduleFigure.UsualThrough => "Usual deadline",
            ScheduleFigure.Latest => "Latest limit",
            ScheduleFigure.Absence => "Absence matters",
            ScheduleFigure.PartialAcceptedThrough => "Partial accepted until",
            ScheduleFigure.Ends => "Usually fades again",
            _ => throw new ArgumentOutOfRangeException(nameof(figure)),
        };

    /// <summary>Picks a source.</summary>
    public void Pick(string key)
    {
        if (!_sources.Contains(key))
        {
            _sources.Add(key);
        }
    }

    /// <summary>Drops a picked source.</summary>
    public void Drop(string key) => _sources.Remove(key);

    /// <summary>Puts back what it was.</summary>
    public void Restore()
    {
        FromText = TextOf(original?.From);
        ThroughText = TextOf(original?.Through);
        _sources.Clear();
    }

    /// <summary>Ages with their unit, or that there are none.</summary>
    public string Words(FigureAges? ages) => ages is null ? "none" : $"{FigureText.Span(ages.From, ages.Through)} {unit}";

    private static string TextOf(int? age) => age?.ToString(CultureInfo.InvariantCulture) ?? "";

    private static int? Read(string text) =>
        text.Trim() is { Length: > 0 and < 4 } trimmed
        && int.TryParse(trimmed, NumberStyles.None, CultureInfo.InvariantCulture, out var age)
            ? age
            : null;
}
