namespace Caseload.Domain.Interpretation;

/// <summary>A reason before it is put into words.</summary>
/// <param name="Code">The step.</param>
/// <param name="Day">The day number it speaks of; 0 when it speaks of none.</param>
/// <param name="Value">A second day number, a grade, or two grades, by code.</param>
public readonly record struct ReasonFact(ReasonCode Code, int Day, int Value);

/// <summary>Collects reasons into a list that is reused from item to item.</summary>
/// <param name="reasons">The list.</param>
public readonly struct ListTrace(List<ReasonFact> reasons) : IReasonTrace
{
    /// <inheritdoc />
    public bool IsListening => true;

    /// <inheritdoc />
    public void Add(ReasonCode code, int day = 0, int value = 0) => reasons.Add(new ReasonFact(code, day, value));
}

/// <summary>A reason in words, with what it rests on.</summary>
/// <param name="Code">The step.</param>
/// <param name="Text">The sentence.</param>
/// <param name="Sources">Source keys of the figures used.</param>
/// <param name="FindingIds">The findings it speaks of.</param>
public sealed record Reason(ReasonCode Code, string Text, IReadOnlyList<string> Sources, IReadOnlyList<Guid> FindingIds);
