using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Why a record is destroyed; a word and no text, so that what stays cannot tell who the child was.</summary>
public enum DestructionReason
{
    /// <summary>The time for which the programme keeps records is over.</summary>
    RetentionOver,

    /// <summary>The family asked for it, 34 CFR 303.416(b).</summary>
    FamilyAsked,
}

/// <summary>Destroys the record of a child whose case is closed.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="TypedCode">The child's code, typed to confirm.</param>
/// <param name="Reason">Why.</param>
public sealed record DestroyChild(Guid ChildId, string TypedCode, DestructionReason? Reason);

/// <summary>Destroys records for good; what stays is a tombstone and the entries of the access record.</summary>
public sealed class DestroyChildHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Destroys; the list is empty when it was done.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, DestroyChild request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.DestroyRecords, ct);
        var child = await context
            .Children.AsNoTracking()
            .Where(row => row.Id == request.ChildId)
            .Select(row => new { row.Code, row.ClosedOn })
            .SingleOrDefaultAsync(ct);
        if (child is null)
        {
            return [new Refusal("destroy-code", "There is no such record any more.")];
        }
        if (child.ClosedOn is not { } closedOn)
        {
            return [new Refusal("destroy-code", "Only the record of a closed case can be destroyed. Close the case first.")];
        }
        var years = (await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct)).ChildRecordYears;
        var refusals = new List<Refusal>();
        if (request.Reason is null)
        {
            refusals.Add(new Refusal("destroy-reason", "Choose why the record is destroyed."));
        }
        else if (request.Reason == DestructionReason.RetentionOver && closedOn.AddYears(years) > actor.TodayOn(time))
        {
            refusals.Add(
                new Refusal(
                    "destroy-reason",
                    $"Records are kept for {years} years after closing. Before that only the family can ask for it."
                )
            );
        }
        if (!string.Equals(request.TypedCode.Trim(), child.Code, StringComparison.OrdinalIgnoreCase))
        {
            refusals.Add(new Refusal("destroy-code", $"Type {child.Code} to confirm."));
        }
        if (refusals.Count > 0)
        {
            return refusals;
        }
        var reason = request.Reason!.Value;
        var left = await RecordFunctions.DestroyChildAsync(context, request.ChildId, reason.ToWord(), ct);
        context.Record(
            "child-destroyed",
            request.ChildId,
            time.GetUtcNow(),
            new AccessDetail().With("visits", left.VisitCount).With("findings", left.FindingCount).With("reason", reason)
        );
        await context.SaveChangesAsync(ct);
        return [];
    }
}
