using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Web.Platform.Access;

namespace Caseload.Web.Features.People;

/// <summary>Ends where a person is signed in.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="SignInId">One sign-in; null for every one.</param>
public sealed record EndSignIns(Guid PersonId, Guid? SignInId);

/// <summary>Ends sign-ins of a person for an administrator.</summary>
public sealed class EndSignInsHandler(CaseloadDb db, SignInSwitchboard switchboard, TimeProvider time)
{
    /// <summary>Says how many were ended; 0 when they were over already.</summary>
    public async Task<int> HandleAsync(Actor actor, EndSignIns request, CancellationToken ct)
    {
        var now = time.GetUtcNow();
        await using var context = await db.EnterAsync(actor, Permission.ManagePeople, ct);
        if (await PeopleLocks.LockAsync(context, request.PersonId, ct) is not { } person)
        {
            return 0;
        }
        var ended = request.SignInId is { } id
            ? await OpenSignIns.EndAsync(context, person, id, SignInEnd.EndedByAdministrator, now, ct)
            : await OpenSignIns.EndAllAsync(context, person, SignInEnd.EndedByAdministrator, now, ct);
        if (ended.Count == 0)
        {
            return 0;
        }
        context.Record("sign-ins-ended", null, now, new AccessDetail().With("person", person.Id).WithAll("sign-ins", ended));
        await context.SaveChangesAsync(ct);
        switchboard.AnnounceEnded(ended);
        return ended.Count;
    }
}
