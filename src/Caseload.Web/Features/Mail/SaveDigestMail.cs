using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Features.Mail;

/// <summary>Says whether the weekly digest comes by mail.</summary>
/// <param name="IsWanted">Whether it does.</param>
public sealed record SaveDigestMail(bool IsWanted);

/// <summary>Turns a person's own weekly digest by mail on and off.</summary>
public sealed class SaveDigestMailHandler(CaseloadDb db, TimeProvider time)
{
    /// <summary>Whether it comes by mail now.</summary>
    public async Task<bool> HandleAsync(Actor actor, SaveDigestMail request, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var person = await context.People.SingleAsync(row => row.Id == actor.PersonId, ct);
        if (person.WantsDigestMail != request.IsWanted)
        {
            person.WantsDigestMail = request.IsWanted;
            context.Record(request.IsWanted ? "account-digest-mail-on" : "account-digest-mail-off", null, time.GetUtcNow());
            await context.SaveChangesAsync(ct);
        }
        return person.WantsDigestMail;
    }
}
