using System.Security.Claims;

namespace Caseload.Web.Platform.Access;

/// <summary>What the cookie says: which person and which sign-in, and nothing that could grow old, such as roles.</summary>
/// <param name="PersonId">The person.</param>
/// <param name="SignInId">The sign-in.</param>
public sealed record SignInClaims(Guid PersonId, Guid SignInId)
{
    private const string PersonType = "caseload-person";
    private const string SignInType = "caseload-sign-in";

    /// <summary>Reads them; null when nobody is signed in.</summary>
    public static SignInClaims? Read(ClaimsPrincipal user) =>
        user.Identity?.IsAuthenticated == true
        && Guid.TryParse(user.FindFirstValue(PersonType), out var personId)
        && Guid.TryParse(user.FindFirstValue(SignInType), out var signInId)
            ? new SignInClaims(personId, signInId)
            : null;

    /// <summary>Makes the principal that the cookie carries.</summary>
    public ClaimsPrincipal ToPrincipal(string scheme) =>
        new(new ClaimsIdentity([new Claim(PersonType, PersonId.ToString()), new Claim(SignInType, SignInId.ToString())], scheme));
}
