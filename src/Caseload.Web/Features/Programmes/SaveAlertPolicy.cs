using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Statuses;
using Caseload.Domain.Policy;
using Caseload.Web.Platform;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Programmes;

/// <summary>Asks to save the numbers for alerts, the digest and mail.</summary>
/// <param name="RowVersion">The version that the person saw.</param>
/// <param name="Policy">The numbers.</param>
public sealed record SaveAlertPolicy(uint RowVersion, AlertPolicy Policy);

/// <summary>Saves the alert policy; when another number of weeks counts as not visited, every status is worked out with it at once.</summary>
public sealed class SaveAlertPolicyHandler(CaseloadDb db, StatusProjection statuses, ChangeNotifier notifier, TimeProvider time)
{
    /// <summary>Saves.</summary>
    public async Task<SaveOutcome> HandleAsync(Actor actor, SaveAlertPolicy request, CancellationToken ct)
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

        var hasOtherWeeks = programme.AlertPolicy.NotVisitedWeeks != check.Value.NotVisitedWeeks;
        programme.AlertPolicy = check.Value;
        context.Record(
            "alert-policy-saved",
            null,
            time.GetUtcNow(),
            new AccessDetail()
                .With("not-visited-weeks", check.Value.NotVisitedWeeks)
                .With("same-day-hours", check.Value.SameDayHours)
                .With("mail-naming", check.Value.MailNaming)
        );
        try
        {
            await context.SaveChangesAsync(ct);
        }
        catch (DbUpdateConcurrencyException)
        {
            return new SaveOutcome.ChangedMeanwhile();
        }

        var childCount = hasOtherWeeks ? await statuses.RebuildAsync(context, actor.TodayOn(time), ct) : 0;
        await transaction.CommitAsync(ct);
        notifier.Changed(actor.ProgrammeId);
        return new SaveOutcome.Done(programme.RowVersion, childCount);
    }
}
