using Caseload.Data;

namespace Caseload.Web.Platform;

/// <summary>Says who acts. Without sign-in everybody who can reach the address works in the installation's first programme.</summary>
public sealed class ActorSource(CaseloadDb db)
{
    private const string Nobody = "not signed in";

    /// <summary>The actor for a page; asked once per page.</summary>
    public async Task<Actor> GetAsync(CancellationToken ct)
    {
        var programme = (await db.ListProgrammesAsync(ct))[0];
        return new Actor(programme.Id, null, Nobody, TimeZoneInfo.FindSystemTimeZoneById(programme.TimeZoneId));
    }
}
