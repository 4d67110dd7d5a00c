using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where people sign in.</summary>
public partial class SignInPage
{
    private bool _isRefused;
    private bool _isPasskeyRefused;
    private string? _provider;

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "sign-in")]
    private PasswordForm? Form { get; set; }

    [SupplyParameterFromForm(FormName = "passkey")]
    private PasskeyForm? Passkey { get; set; }

    [SupplyParameterFromQuery(Name = SignInAddress.ReturnParameter)]
    private string? Return { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    [Inject]
    private PasskeyDoor Passkeys { get; set; } = default!;

    [Inject]
    private IAuthenticationSchemeProvider Schemes { get; set; } = default!;

    private string ProviderWay =>
        SignInAddress.Local(Return) is var local && local == "/"
            ? IdentityProvider.StartPath
            : $"{IdentityProvider.StartPath}?{SignInAddress.ReturnParameter}={Uri.EscapeDataString(local)}";

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Form ??= new PasswordForm();
        Passkey ??= new PasskeyForm();
        _provider = (await Schemes.GetSchemeAsync(IdentityProvider.Scheme))?.DisplayName;
    }

    private async Task SignInAsync()
    {
        var answer = await Door.TryPasswordAsync(Form!.Name, Form.Password, SignInCookies.VisitorOf(Http), Http.RequestAborted);
        _isRefused = !await Doorstep.GoOnAsync(Http, answer, Return);
    }

    private async Task UsePasskeyAsync()
    {
        var answer = await Passkeys.TryAsync(Http, Passkey!.Credential, Http.RequestAborted);
        _isPasskeyRefused = !await Doorstep.GoOnAsync(Http, answer, Return);
    }

    /// <summary>What a device answered.</summary>
    public sealed class PasskeyForm
    {
        /// <summary>The answer, as JSON.</summary>
        public string Credential { get; set; } = "";
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
