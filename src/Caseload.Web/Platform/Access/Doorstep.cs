using Caseload.Data.Access;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Platform.Access;

/// <summary>Leads a person on from an answer at the door: to the code, to the second factor, or in.</summary>
public sealed class Doorstep(SignInKeeper keeper, NavigationManager navigation)
{
    /// <summary>Leads on; false when the answer was no, so that the page says so.</summary>
    public async Task<bool> GoOnAsync(HttpContext http, DoorAnswer answer, string? asked)
    {
        switch (answer)
        {
            case DoorAnswer.NeedsCode needs:
                await SignInCookies.KeepHalfwayAsync(http, new HalfwayIn(needs.Person, needs.First));
                GoTo("/account/code", asked);
                return true;
            case DoorAnswer.NeedsSecondFactor needs:
                await SignInCookies.KeepHalfwayAsync(http, new HalfwayIn(needs.Person, needs.First));
                GoTo("/account/second-factor", asked);
                return true;
            case DoorAnswer.In inside:
                await SignInCookies.KeepAsync(http, inside.Claims);
                navigation.NavigateTo(await FirstPageAsync(inside.Claims, asked, http.RequestAborted));
                return true;
            default:
                return false;
        }
    }

    private void GoTo(string page, string? asked) =>
        navigation.NavigateTo(
            SignInAddress.Local(asked) is var local && local == "/"
                ? page
                : $"{page}?{SignInAddress.ReturnParameter}={Uri.EscapeDataString(local)}"
        );

    /// <summary>The page that was asked for, else the first one that has something for the person.</summary>
    public async Task<string> FirstPageAsync(SignInClaims claims, string? asked, CancellationToken ct)
    {
        var local = SignInAddress.Local(asked);
        return local != "/" || (await keeper.FindAsync(claims, ct))?.May(Permission.ReadChildren) != false ? local : "/people";
    }
}
