using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.Mail;

namespace Caseload.Web.Features.Mail;

/// <summary>Takes a parked message out for good.</summary>
/// <param name="Id">The message.</param>
public sealed record GiveUpMessage(Guid Id);

/// <summary>Removes messages that cannot be sent; that it was done stays in the access record.</summary>
public sealed class GiveUpMessageHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Removes it; false when it is not parked any more.</summary>
    public async Task<bool> HandleAsync(Actor actor, GiveUpMessage request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.RunJobs, ct);
        context.Record("message-given-up", null, time.GetUtcNow(), new AccessDetail().With("message", request.Id));
        return await ParkedMessages.GiveUpAsync(context, request.Id, ct);
    }
}
