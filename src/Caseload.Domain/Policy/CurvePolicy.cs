namespace Caseload.Domain.Policy;

/// <summary>When a curve over several children may be shown.</summary>
public static class CurvePolicy
{
    /// <summary>
    /// The fewest children of whom something is known. Our assumption, without a source: with fewer the bounds span most of the
    /// chart, and a single step speaks of one recognizable child.
    /// </summary>
    public const int CurveMinimum = 20;
}
