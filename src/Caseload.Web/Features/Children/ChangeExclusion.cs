using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Domain.Reference;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Records a condition of a child, or ends one.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="ExclusionId">The row; made by the page for a new one.</param>
/// <param name="Exclusion">The condition.</param>
/// <param name="FromOn">First day.</param>
/// <param name="ThroughOn">Last day; null while it lasts.</param>
public sealed record ChangeExclusion(Guid ChildId, Guid ExclusionId, Exclusion Exclusion, DateOnly? FromOn, DateOnly? ThroughOn);

/// <summary>Records and ends conditions; they decide which checks are asked for, and with them which alerts stand.</summary>
public sealed class ChangeExclusionHandler(CaseloadDb db, StatusProjection projection, ChangeNotifier notifier, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it was saved.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, ChangeExclusion request, CancellationToken ct)
    {
        if (request.FromOn is not { } fromOn)
        {
            return [new Refusal("exclusion-from", "Enter the day from which it holds.")];
        }
        if (request.ThroughOn < fromOn)
        {
            return [new Refusal("exclusion-through", "The last day comes before the first. Correct one of them.")];
        }

        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        if (!await context.Children.AnyAsync(row => row.Id == request.ChildId, ct))
        {
            return [new Refusal("exclusion", "There is no such child.")];
        }
        context.DemandWriting(request.ChildId);
        var stored = await context.Exclusions.SingleOrDefaultAsync(
            row => row.Id == request.ExclusionId && row.ChildId == request.ChildId,
            ct
        );
        if (stored is null)
        {
            var isHeld = await context.Exclusions.AnyAsync(
                row =>
                    row.ChildId == request.ChildId
                    && row.Exclusion == request.Exclusion
                    && (row.ThroughOn == null || row.ThroughOn >= fromOn),
                ct
            );
            if (isHeld)
            {
                return [new Refusal("exclusion", "This condition is already on the list. End it there first if the dates changed.")];
            }
            context.Exclusions.Add(
                new Data.Children.RecordedExclusion
                {
                    ProgrammeId = actor.ProgrammeId,
                    Id = request.ExclusionId,
                    ChildId = request.ChildId,
                    Exclusion = request.Exclusion,
                    FromOn = fromOn,
                    ThroughOn = request.ThroughOn,
                }
            );
        }
        else
        {
            stored.FromOn = fromOn;
            stored.ThroughOn = request.ThroughOn;
        }

        context.Record(
            stored is null ? "exclusion-added" : "exclusion-changed",
            request.ChildId,
            time.GetUtcNow(),
            new AccessDetail().With("exclusion", request.Exclusion)
        );
        await projection.RewriteAsync(context, request.ChildId, actor.TodayOn(time), ct);
        await context.SaveChangesAsync(ct);
        notifier.Changed(actor.ProgrammeId);
        return [];
    }
}
