using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where people sign in.</summary>
public partial class SignInPage
{
    private bool _isRefused;

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm]
    private PasswordForm? Form { get; set; }

    [SupplyParameterFromQuery(Name = SignInAddress.ReturnParameter)]
    private string? Return { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => Form ??= new PasswordForm();

    private async Task SignInAsync()
    {
        var answer = await Door.TryPasswordAsync(Form!.Name, Form.Password, SignInCookies.VisitorOf(Http), Http.RequestAborted);
        _isRefused = !await Doorstep.GoOnAsync(Http, answer, Return);
    }

    /// <summary>What is typed to sign in.</summary>
    public sealed class PasswordForm
    {
        /// <summary>The sign-in name.</summary>
        public string Name { get; set; } = "";

        /// <summary>The password.</summary>
        public string Password { get; set; } = "";
    }
}
