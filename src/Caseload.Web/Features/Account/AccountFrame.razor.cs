using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>What stands round the pages of the own account: the way back, and the way out.</summary>
public partial class AccountFrame
{
    /// <summary>The page's heading.</summary>
    [Parameter, EditorRequired]
    public string Title { get; set; } = "";

    /// <summary>Where the link above the heading leads.</summary>
    [Parameter]
    public string Back { get; set; } = "/account";

    /// <summary>What the link says.</summary>
    [Parameter]
    public string BackText { get; set; } = "‹ Your account";

    /// <summary>The page.</summary>
    [Parameter, EditorRequired]
    public RenderFragment? ChildContent { get; set; }

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [Inject]
    private HostStart Start { get; set; } = default!;

    [Inject]
    private SignInKeeper Keeper { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        // These pages have no circuit that would tell that the person is active.
        if (SignInClaims.Read(Http.User) is { } claims)
        {
            await Keeper.NoteActivityAsync(claims, Http.RequestAborted);
        }
    }

    private async Task SignOutAsync()
    {
        await SignInCookies.EndAsync(Http);
        Navigation.NavigateTo("/account/signed-out");
    }
}
