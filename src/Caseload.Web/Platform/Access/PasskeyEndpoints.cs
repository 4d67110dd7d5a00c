using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Mvc;

namespace Caseload.Web.Platform.Access;

/// <summary>Where the script of the passkey buttons gets what it asks the browser with.</summary>
public static class PasskeyEndpoints
{
    /// <summary>Maps them; both change what is remembered about the browser, so both are posts with a token of the page.</summary>
    public static void MapPasskeys(this WebApplication app)
    {
        app.MapPost("/account/passkeys/ask", AskAsync).AllowAnonymous();
        app.MapPost("/account/passkeys/new", NewAsync).RequireAuthorization(PagePolicies.NameOf(Permission.KeepOwnAccount));
    }

    private static async Task<IResult> AskAsync(HttpContext http, IAntiforgery antiforgery, PasskeyDoor door) =>
        await antiforgery.IsRequestValidAsync(http) ? Results.Text(await door.AskAsync(http), "application/json") : Stale();

    private static async Task<IResult> NewAsync(
        HttpContext http,
        IAntiforgery antiforgery,
        OwnPasskeys passkeys,
        CaseloadDb db,
        CancellationToken ct
    )
    {
        if (!await antiforgery.IsRequestValidAsync(http))
        {
            return Stale();
        }
        if (
            SignInClaims.Read(http.User) is not { } claims
            || await db.FindActorAsync(claims.PersonId, claims.SignInId, ct) is not { } actor
        )
        {
            return Results.Unauthorized();
        }
        var form = await http.Request.ReadFormAsync(ct);
        var asked = await passkeys.AskAsync(http, actor, form["Add.Password"].ToString(), ct);
        return asked.IsAccepted
            ? Results.Text(asked.Value, "application/json")
            : Results.Problem(new ProblemDetails { Detail = asked.Refusals[0].Message, Status = StatusCodes.Status422UnprocessableEntity });
    }

    private static IResult Stale() =>
        Results.Problem(new ProblemDetails { Detail = "This page is too old. Load it again.", Status = StatusCodes.Status400BadRequest });
}
