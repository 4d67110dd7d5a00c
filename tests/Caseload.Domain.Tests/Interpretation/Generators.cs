using Caseload.Domain.Ages;
using Caseload.Domain.Findings;
using Caseload.Domain.Interpretation;
using Caseload.Domain.Policy;
using Caseload.Domain.Reference;
using CsCheck;

namespace Caseload.Domain.Tests.Interpretation;

/// <summary>A child, one item, findings of it, and a day of the question; everything random.</summary>
internal sealed record Situation(ChildFacts Child, int Item, IReadOnlyList<Finding> Findings, DateOnly AsOfOn)
{
    internal ReferenceItem ItemOf(ReferenceSet set) => set.Items[Item];
}

/// <summary>Random children and findings. Half of the findings lie within two weeks of a whole month of age, where rules turn.</summary>
internal static class Generators
{
    private static readonly ReferenceSet Set = ReferenceSets.Default;

    internal static readonly Gen<BirthFacts> Births =
        from born in Gen.Int[0, 1500]
        from gestation in Gen.Int[GestationalAge.MinimumDays, GestationalAge.MaximumDays].Nullable(0.1)
        select BirthFacts.Restore(new DateOnly(2020, 1, 1).AddDays(born), gestation);

    internal static readonly Gen<ChildFacts> Children =
        from birth in Births
        from followed in Gen.Int[0, 500].Nullable(0.5)
        select new ChildFacts(birth, followed is { } days ? birth.BornOn.AddDays(days) : null);

    internal static readonly Gen<Situation> Situations =
        from child in Children
        from item in Gen.Int[0, Set.Items.Count - 1]
        from findings in FindingsOf(child.Birth, Set.Items[item]).List[0, 6]
        from later in Gen.Int[0, 900]
        select new Situation(child, item, Numbered(findings), child.Birth.BornOn.AddDays(later));

    /// <summary>Findings of several items of one child.</summary>
    internal static readonly Gen<(ChildFacts Child, List<Finding> Findings, DateOnly AsOfOn)> Caseworks =
        from child in Children
        from findings in Gen.Int[0, 4].SelectMany(item => FindingsOf(child.Birth, Set.Items[item * 7 + 2])).List[0, 12]
        from later in Gen.Int[0, 900]
        select (child, Numbered(findings), child.Birth.BornOn.AddDays(later));

    private static Gen<Finding> FindingsOf(BirthFacts birth, ReferenceItem item)
    {
        var anchorOn = birth.AnchorOn(ReviewPolicy.Default.CorrectBelowDays);
        var turning = from months in Gen.Int[0, 25] from shift in Gen.Int[-15, 15] select anchorOn.AddMonths(months).AddDays(shift);
        var anyDay = Gen.Int[0, 900].Select(birth.BornOn.AddDays);
        return from day in Gen.OneOf(turning, anyDay)
            from response in Gen.OneOf<Response>([Response.Absent, .. item.Responses])
            from side in Gen.Frequency((4, Gen.Const(Side.Both)), (1, Gen.Const(Side.Left)), (1, Gen.Const(Side.Right)))
            from state in Gen.Frequency(
                (6, Gen.Const((BehaviouralState?)item.States.Best[0])),
                (1, Gen.Const((BehaviouralState?)null)),
                (1, Gen.Enum<BehaviouralState>().Select(state => (BehaviouralState?)state))
            )
            from isTested in Gen.Frequency((9, Gen.Const(true)), (1, Gen.Const(false)))
            select new Finding(
                Guid.Empty,
                item.Id,
                day < birth.BornOn ? birth.BornOn : day,
                item.Sided == Sidedness.None ? Side.Both : side,
                isTested ? response : null,
                state,
                isTested ? null : NotTestedReason.EnoughHandling
            );
    }

    private static List<Finding> Numbered(List<Finding> findings) =>
        [.. findings.Select((finding, index) => finding with { Id = new Guid(index + 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0) })];
}
