using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Data.Team;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Team;

/// <summary>A child as it was when the lead chose.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="ClinicianId">Who was responsible then.</param>
public sealed record ChosenChild(Guid ChildId, Guid? ClinicianId);

/// <summary>Gives children to a clinician from a day on.</summary>
/// <param name="AttemptId">Made by the page, so that a second tap changes nothing.</param>
/// <param name="Children">The children.</param>
/// <param name="Form">What was entered.</param>
public sealed record AssignChildren(Guid AttemptId, IReadOnlyList<ChosenChild> Children, AssignForm Form);

/// <summary>Gives children to clinicians: all that were asked for, or none.</summary>
public sealed class AssignChildrenHandler(CaseloadDb db, StatusProjection projection, TimeProvider time)
{
    private static readonly Refusal _meanwhile = new(
        "children",
        "Somebody else changed one of these children meanwhile. Look at the list again, then choose anew."
    );

    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, AssignChildren request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        var form = request.Form;
        var refusals = form.Check();
        if (refusals.Count > 0)
        {
            return refusals;
        }
        await using var context = await db.EnterAsync(actor, Permission.AssignChildren, ct);
        if (await context.AccessEntries.AnyAsync(entry => entry.AttemptId == request.AttemptId, ct))
        {
            return [];
        }
        var clinicianId = form.IsNobody ? null : form.ClinicianId;
        if (clinicianId is { } id && !await context.Clinicians.AnyAsync(row => row.Id == id && row.IsActive, ct))
        {
            return [new Refusal("to", "This clinician no longer works here. Choose another.")];
        }
        var wanted = request.Children.ToDictionary(child => child.ChildId, child => child.ClinicianId);
        var children = await context
            .Children.Where(child => wanted.Keys.Contains(child.Id) && child.ClosedOn == null)
            .OrderBy(child => child.Id)
            .ToListAsync(ct);
        if (children.Count < wanted.Count || children.Any(child => child.ClinicianId != wanted[child.Id]))
        {
            return [_meanwhile];
        }
        foreach (var child in children)
        {
            var wish = new AssignmentWish(Guid.CreateVersion7(context.At), clinicianId, form.FromOn!.Value, form.Handover);
            if (await AssignmentBook.GiveAsync(context, projection, child, wish, todayOn, ct) is { } refusal)
            {
                return [refusal];
            }
        }
        context.Record("children-given", null, context.At, new AccessDetail().WithAll("children", wanted.Keys), request.AttemptId);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return [_meanwhile];
        }
        return [];
    }
}
