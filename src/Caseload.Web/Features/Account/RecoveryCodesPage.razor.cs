using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where a person makes fresh recovery codes.</summary>
public partial class RecoveryCodesPage
{
    private IReadOnlyList<string>? _codes;
    private IReadOnlyList<Refusal> _refusals = [];

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "renew")]
    private RenewForm? Form { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnSecondFactor Own { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => Form ??= new RenewForm();

    private async Task RenewAsync()
    {
        var actor = await Actors.GetAsync(Http.RequestAborted);
        var renewed = await Own.RenewRecoveryCodesAsync(actor, SignInCookies.VisitorOf(Http), Form!.Password, Http.RequestAborted);
        _refusals = renewed.Refusals;
        _codes = renewed.IsAccepted ? renewed.Value : null;
    }

    /// <summary>What is typed.</summary>
    public sealed class RenewForm
    {
        /// <summary>The present password.</summary>
        public string Password { get; set; } = "";
    }
}
