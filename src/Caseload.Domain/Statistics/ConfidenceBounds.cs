using System.Runtime.InteropServices;

namespace Caseload.Domain.Statistics;

/// <summary>The two ends of a confidence interval.</summary>
/// <param name="Lower">The lower end, not above <paramref name="Upper"/>.</param>
/// <param name="Upper">The upper end.</param>
[StructLayout(LayoutKind.Auto)]
public readonly record struct ConfidenceBounds(double Lower, double Upper);
