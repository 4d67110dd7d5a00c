using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;

namespace Caseload.Web.Features.Mail;

/// <summary>Has parked messages tried again.</summary>
/// <param name="Id">One message; null for all.</param>
public sealed record RetryMessages(Guid? Id);

/// <summary>Puts parked messages back into the outbox.</summary>
public sealed class RetryMessagesHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>How many there were.</summary>
    public async Task<int> HandleAsync(Actor actor, RetryMessages request, CancellationToken ct)
    {
        var at = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        var ids = await ParkedMessages.RetryAsync(context, request.Id, at, ct);
        if (ids.Count > 0)
        {
            context.Record("messages-retried", null, at, new AccessDetail().WithAll("messages", ids));
            await context.SaveChangesAsync(ct);
        }
        return ids.Count;
    }
}
