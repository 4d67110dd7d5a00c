using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.EntityFrameworkCore;

namespace Caseload.Web.Platform.Access;

/// <summary>How long a person of a programme may do nothing before they are signed out.</summary>
public sealed class IdleTime(CaseloadDb db)
{
    /// <summary>The programme's idle time.</summary>
    public async Task<TimeSpan> OfAsync(Actor actor, CancellationToken ct)
    {
        await using var context = await db.EnterAsync(actor, Permission.KeepOwnAccount, ct);
        var policy = await context.Programmes.Select(programme => programme.AccessPolicy).SingleAsync(ct);
        return TimeSpan.FromMinutes(policy.IdleMinutes);
    }
}
