using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components.Authorization;

namespace Caseload.Web.Platform;

/// <summary>Says who acts: the person whose sign-in the page was opened under.</summary>
public sealed class ActorSource(CaseloadDb db, AuthenticationStateProvider authentication)
{
    /// <summary>The actor for a page; asked once per page.</summary>
    /// <exception cref="SignInEndedException">Nobody is signed in, or no longer.</exception>
    public async Task<Actor> GetAsync(CancellationToken ct)
    {
        var user = (await authentication.GetAuthenticationStateAsync()).User;
        return SignInClaims.Read(user) is { } ids && await db.FindActorAsync(ids.PersonId, ids.SignInId, ct) is { } actor
            ? actor
            : throw new SignInEndedException();
    }
}
