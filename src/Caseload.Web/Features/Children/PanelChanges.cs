using Caseload.Domain.Reference;

namespace Caseload.Web.Features.Children;

/// <summary>A condition to add (no row yet) or to change.</summary>
/// <param name="RowId">The row; null for a new one.</param>
/// <param name="Exclusion">The condition.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day; null while it lasts.</param>
public sealed record ExclusionChange(Guid? RowId, Exclusion Exclusion, DateOnly? FromOn, DateOnly? ThroughOn);

/// <summary>A concern to record (no row yet), resolve or reopen.</summary>
/// <param name="RowId">The row; null for a new one.</param>
/// <param name="ConcernId">The concern in the reference set.</param>
/// <param name="IsResolved">Whether it is resolved.</param>
public sealed record ConcernChange(Guid? RowId, string ConcernId, bool IsResolved);
