using Caseload.Data;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components.Authorization;

namespace Caseload.Integration.Tests;

/// <summary>A browser in which somebody has signed in.</summary>
internal sealed class SignedIn(Actor actor) : AuthenticationStateProvider
{
    public override Task<AuthenticationState> GetAuthenticationStateAsync() =>
        Task.FromResult(new AuthenticationState(new SignInClaims(actor.PersonId, actor.SignInId).ToPrincipal("test")));
}
