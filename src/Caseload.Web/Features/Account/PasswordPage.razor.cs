using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where a person changes the own password.</summary>
public partial class PasswordPage
{
    private IReadOnlyList<Refusal> _refusals = [];

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "password")]
    private PasswordForm? Form { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnPassword Own { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => Form ??= new PasswordForm();

    private async Task ChangeAsync()
    {
        _refusals = NewPasswordFields.Compare(Form!.Password, Form.Again);
        if (_refusals.Count > 0)
        {
            return;
        }
        var actor = await Actors.GetAsync(Http.RequestAborted);
        _refusals = await Own.ChangeAsync(actor, SignInCookies.VisitorOf(Http), Form.Current, Form.Password, Http.RequestAborted);
        if (_refusals.Count == 0)
        {
            Navigation.NavigateTo("/account?done=password");
        }
    }

    /// <summary>What is typed.</summary>
    public sealed class PasswordForm
    {
        /// <summary>The present password.</summary>
        public string Current { get; set; } = "";

        /// <summary>The new one.</summary>
        public string Password { get; set; } = "";

        /// <summary>The same again.</summary>
        public string Again { get; set; } = "";
    }
}
