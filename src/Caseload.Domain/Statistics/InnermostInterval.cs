using System.Runtime.InteropServices;

namespace Caseload.Domain.Statistics;

/// <summary>A stretch of age to which the estimate gives a share of the children; where within it they lie, nothing says.</summary>
/// <param name="After">Its left end, outside; equal to <paramref name="Through"/> when it is one age.</param>
/// <param name="Through">Its right end, inside; null when it has none, because these children had not got there when last seen.</param>
/// <param name="Mass">The share of the children, 0 to 1.</param>
/// <param name="RemainingAfter">The share that has not got there by the right end: the curve's height after the interval.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct InnermostInterval(double After, double? Through, double Mass, double RemainingAfter)
{
    /// <summary>Whether it is one age.</summary>
    public bool IsExact => After == Through;
}
