using Caseload.Domain;
using Caseload.Domain.Ages;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Wording;

namespace Caseload.Web.Features.Children;

/// <summary>A check in the preview.</summary>
/// <param name="ItemName">The item.</param>
/// <param name="Check">When and what for.</param>
/// <param name="IsOpen">Whether it may be done today.</param>
/// <param name="Why">The first reason.</param>
public sealed record PreviewCheck(string ItemName, PlannedCheck Check, bool IsOpen, string Why);

/// <summary>What follows from the birth facts while they are typed: the ages, or what is missing, and the first checks.</summary>
/// <param name="Ages">The ages today; null while the facts cannot be read.</param>
/// <param name="Refusals">What keeps the facts from being read.</param>
/// <param name="Checks">The checks of the coming weeks, soonest first.</param>
/// <param name="LaterCount">How many further checks follow.</param>
public sealed record BirthPreview(ChildAges? Ages, IReadOnlyList<Refusal> Refusals, IReadOnlyList<PreviewCheck> Checks, int LaterCount)
{
    private const int Most = 8;

    /// <summary>The preview for a form.</summary>
    public static BirthPreview Of(ChildForm form, Interpreter interpreter, DateOnly todayOn)
    {
        var birth = form.ReadBirth(todayOn);
        if (!birth.IsAccepted)
        {
            return new BirthPreview(null, birth.Refusals, [], 0);
        }
        var checks = interpreter
            .Interpret(new ChildFacts(birth.Value, form.EnrolledOn), [], todayOn)
            .Where(result => result.NextCheck is not null)
            .OrderBy(result => result.NextCheck!.Span.From)
            .ThenBy(result => result.NextCheck!.Span.Through)
            .Select(result => new PreviewCheck(result.Item.Name, result.NextCheck!, result.NextCheck!.Span.From <= todayOn, WhyOf(result)))
            .ToList();
        return new BirthPreview(
            ChildAges.Of(birth.Value, todayOn, interpreter.Policy),
            [],
            [.. checks.Take(Most)],
            Math.Max(0, checks.Count - Most)
        );
    }

    private static string WhyOf(ItemResult result) =>
        DueText.Of(
            result.NextCheck!.Purpose,
            result.State,
            result.Verdict.Step,
            result.SinceOn,
            result.ExpectedFromOn,
            result.UsualThroughOn
        );
}
