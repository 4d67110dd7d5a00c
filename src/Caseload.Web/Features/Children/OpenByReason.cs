using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Domain;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Opens a child outside the own reach, for a stated reason and a limited time.</summary>
/// <param name="Id">The id of the reach, made by the page.</param>
/// <param name="Code">The child's code.</param>
/// <param name="Reason">Why.</param>
public sealed record OpenByReason(Guid Id, string Code, string Reason);

/// <summary>How it went.</summary>
public abstract record OpenByReasonOutcome
{
    private OpenByReasonOutcome() { }

    /// <summary>The child is open.</summary>
    /// <param name="ChildId">The child.</param>
    public sealed record Opened(Guid ChildId) : OpenByReasonOutcome;

    /// <summary>The person reaches the child anyway; nothing was opened.</summary>
    /// <param name="ChildId">The child.</param>
    public sealed record ReachedAnyway(Guid ChildId) : OpenByReasonOutcome;

    /// <summary>Something has to be put right; the same whether a code is wrong or belongs elsewhere.</summary>
    /// <param name="Refusals">What.</param>
    public sealed record Refused(IReadOnlyList<Refusal> Refusals) : OpenByReasonOutcome;
}

/// <summary>Opens children by reason. A code that opens nothing is recorded too, without what was typed.</summary>
public sealed class OpenByReasonHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Opens.</summary>
    public async Task<OpenByReasonOutcome> HandleAsync(Actor actor, OpenByReason request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ReachByReason, ct);
        // First the reason, so that nobody learns without one whether a code exists.
        var reason = ReachReason.Check(request.Reason);
        if (!reason.IsAccepted)
        {
            return new OpenByReasonOutcome.Refused(reason.Refusals);
        }
        var code = request.Code.Trim().ToUpperInvariant();
        if (await RecordFunctions.FindChildByCodeAsync(context, code, ct) is not { } childId)
        {
            await context.RecordLookAsync("reach-refused", null, at, ct);
            return new OpenByReasonOutcome.Refused([new Refusal("reach-code", "This code opens no record. Check it with your team lead.")]);
        }
        if (await context.Children.AnyAsync(child => child.Id == childId, ct))
        {
            return new OpenByReasonOutcome.ReachedAnyway(childId);
        }
        var policy = await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct);
        var untilAt = at.AddHours(policy.ReasonHours);
        context.ReasonedReaches.Add(
            new ReasonedReach
            {
                ProgrammeId = actor.ProgrammeId,
                Id = request.Id,
                ChildId = childId,
                PersonId = actor.PersonId,
                Reason = reason.Value,
                FromAt = at,
                UntilAt = untilAt,
            }
        );
        context.Record("reach-by-reason", childId, at, new AccessDetail().With("reach", request.Id).With("hours", policy.ReasonHours));
        await context.SaveChangesAsync(ct);
        return new OpenByReasonOutcome.Opened(childId);
    }
}
