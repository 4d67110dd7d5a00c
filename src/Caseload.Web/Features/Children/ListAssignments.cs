using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks who has been responsible for a child.</summary>
/// <param name="ChildId">The child.</param>
public sealed record ListAssignments(Guid ChildId);

/// <summary>A span in which somebody was, is or will be responsible.</summary>
/// <param name="Id">The assignment.</param>
/// <param name="Clinician">The clinician.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day; null while no end is known.</param>
/// <param name="Handover">The handover note; null without one.</param>
/// <param name="Who">Who recorded it.</param>
public sealed record AssignmentRow(Guid Id, string Clinician, DateOnly FromOn, DateOnly? ThroughOn, string? Handover, string Who);

/// <summary>Lists a child's assignments.</summary>
public sealed class ListAssignmentsHandler(CaseloadDb db)
{
    /// <summary>The assignments, the latest first.</summary>
    public async Task<IReadOnlyList<AssignmentRow>> HandleAsync(Actor actor, ListAssignments request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.ReadChildren, ct);
        return await context
            .Assignments.AsNoTracking()
            .Where(row => row.ChildId == request.ChildId)
            .OrderByDescending(row => row.FromOn)
            .Select(row => new AssignmentRow(
                row.Id,
                context.Clinicians.First(clinician => clinician.Id == row.ClinicianId).Name,
                row.FromOn,
                row.ThroughOn,
                row.Handover,
                row.Who
            ))
            .ToListAsync(ct);
    }
}
