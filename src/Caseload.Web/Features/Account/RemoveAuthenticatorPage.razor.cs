using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where a person removes the own authenticator, if the programme lets them.</summary>
public partial class RemoveAuthenticatorPage
{
    private IReadOnlyList<Refusal> _refusals = [];

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "remove")]
    private RemoveForm? Form { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnSecondFactor Own { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => Form ??= new RemoveForm();

    private async Task RemoveAsync()
    {
        var actor = await Actors.GetAsync(Http.RequestAborted);
        _refusals = await Own.RemoveAsync(actor, SignInCookies.VisitorOf(Http), Form!.Password, Form.Code, Http.RequestAborted);
        if (_refusals.Count == 0)
        {
            Navigation.NavigateTo("/account?done=authenticator-removed");
        }
    }

    /// <summary>What is typed.</summary>
    public sealed class RemoveForm
    {
        /// <summary>A code of the authenticator, or a recovery code.</summary>
        public string Code { get; set; } = "";

        /// <summary>The present password.</summary>
        public string Password { get; set; } = "";
    }
}
