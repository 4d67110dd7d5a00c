using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Programmes;
using Caseload.Domain.Interpretation;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Asks for what the form needs.</summary>
/// <param name="ChildId">The child to edit; null for a new one.</param>
public sealed record GetChildForm(Guid? ChildId);

/// <summary>What the form needs.</summary>
/// <param name="Form">The form as stored, or empty.</param>
/// <param name="Code">The child's code; null for a new one.</param>
/// <param name="RowVersion">The version the form was made from.</param>
/// <param name="TodayOn">Today in the programme's zone.</param>
/// <param name="Clinicians">Clinicians to choose.</param>
/// <param name="MayAssign">Whether the person may give the child to a clinician.</param>
/// <param name="Interpreter">The set and policy for the preview.</param>
public sealed record ChildFormView(
    ChildForm Form,
    string? Code,
    uint RowVersion,
    DateOnly TodayOn,
    IReadOnlyList<ClinicianChoice> Clinicians,
    bool MayAssign,
    Interpreter Interpreter
);

/// <summary>Gets what the form needs.</summary>
public sealed class GetChildFormHandler(CaseloadDb db, ReferenceLibrary library, TimeProvider time)
{
    /// <summary>The form, or null when there is no such child.</summary>
    public async Task<ChildFormView?> HandleAsync(Actor actor, GetChildForm request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        var child = request.ChildId is { } id ? await context.Children.AsNoTracking().SingleOrDefaultAsync(row => row.Id == id, ct) : null;
        if (request.ChildId is not null && child is null)
        {
            return null;
        }
        if (child is not null)
        {
            context.DemandWriting(child.Id);
            await context.RecordLookAsync("child-opened", child.Id, time.GetUtcNow(), ct);
        }
        var clinicians = await context
            .Clinicians.AsNoTracking()
            .Where(clinician => clinician.IsActive || (child != null && clinician.Id == child.ClinicianId))
            .OrderBy(clinician => clinician.Name)
            .Select(clinician => new ClinicianChoice(clinician.Id, clinician.Name))
            .ToListAsync(ct);
        return new ChildFormView(
            child is null ? new ChildForm { EnrolledOn = todayOn } : ChildForm.Of(child),
            child?.Code,
            child?.RowVersion ?? 0,
            todayOn,
            clinicians,
            context.May(Permission.AssignChildren),
            await library.GetActiveAsync(context, ct)
        );
    }
}
