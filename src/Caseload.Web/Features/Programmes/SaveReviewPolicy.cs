using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Domain.Policy;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks to save the numbers the programme sets for itself.</summary>
/// <param name="RowVersion">The version that the person saw.</param>
/// <param name="Policy">The numbers.</param>
public sealed record SaveReviewPolicy(uint RowVersion, ReviewPolicy Policy);

/// <summary>Saves the review policy and works out every status with it, in one transaction.</summary>
public sealed class SaveReviewPolicyHandler(CaseloadDb db, StatusProjection statuses, TimeProvider time)
{
    /// <summary>Saves.</summary>
    public async Task<SaveOutcome> HandleAsync(Actor actor, SaveReviewPolicy request, CancellationToken ct)
    {
        var check = request.Policy.Check();
        if (!check.IsAccepted)
        {
            return new SaveOutcome.Refused(check.Refusals);
        }

        await using var context = await db.EnterAsync(actor, Permission.ChangeReviewPolicy, ct);
        await using var transaction = await context.Database.BeginTransactionAsync(ct);
        var programme = await context.Programmes.SingleAsync(ct);
        if (programme.RowVersion != request.RowVersion)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }

        programme.Policy = check.Value;
        context.Record("policy-saved", null, time.GetUtcNow());
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }

        var childCount = await statuses.RebuildAsync(context, actor.TodayOn(time), ct);
        await transaction.CommitAsync(ct);
        return new SaveOutcome.Done(programme.RowVersion, childCount);
    }
}
