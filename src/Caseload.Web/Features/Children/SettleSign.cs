using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Domain;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Children;

/// <summary>Settles a sign: the medical or safeguarding route has dealt with it.</summary>
/// <param name="ChildId">The child.</param>
/// <param name="SignId">The row.</param>
public sealed record SettleSign(Guid ChildId, Guid SignId);

/// <summary>Settles signs. Nothing is deleted.</summary>
public sealed class SettleSignHandler(CaseloadDb db, StatusProjection projection, ChangeNotifier notifier, TimeProvider time)
{
    /// <summary>Saves; the list is empty when it is settled, now or before.</summary>
    public async Task<IReadOnlyList<Refusal>> HandleAsync(Actor actor, SettleSign request, CancellationToken ct)
    {
        var todayOn = actor.TodayOn(time);
        await using var context = await db.EnterAsync(actor, Permission.EditChildren, ct);
        if (await context.Signs.SingleOrDefaultAsync(row => row.Id == request.SignId && row.ChildId == request.ChildId, ct) is not { } sign)
        {
            return [new Refusal("sign", "There is no such sign.")];
        }
        context.DemandWriting(sign.ChildId);
        if (sign.SettledOn is not null)
        {
            return [];
        }

        sign.SettledOn = todayOn;
        context.Record("sign-settled", sign.ChildId, time.GetUtcNow(), new AccessDetail().With("sign", sign.Id).With("what", sign.Sign));
        await projection.RewriteAsync(context, sign.ChildId, todayOn, ct);
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            // Nothing about a sign changes but that it is settled: somebody else did.
            return [];
        }
        notifier.Changed(actor.ProgrammeId);
        return [];
    }
}
