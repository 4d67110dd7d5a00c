using Caseload.Data;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where a person pairs the own authenticator, or puts another in its place.</summary>
public partial class AuthenticatorPage
{
    private Actor? _actor;
    private OwnAccountView? _account;
    private string? _secret;
    private IReadOnlyList<string>? _recoveryCodes;
    private IReadOnlyList<Refusal> _refusals = [];

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "pair")]
    private PairForm? Pair { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnAccount Account { get; set; } = default!;

    [Inject]
    private OwnSecondFactor Own { get; set; } = default!;

    [Inject]
    private PairingSeal Seal { get; set; } = default!;

    private string Title =>
        _recoveryCodes is not null ? "Keep these recovery codes"
        : _account?.HasAuthenticator == true ? "Replace the authenticator"
        : "Pair an authenticator app";

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Pair ??= new PairForm();
        _actor = await Actors.GetAsync(Http.RequestAborted);
        _account = await Account.GetAsync(_actor, Http.RequestAborted);
        _secret = Seal.OpenOrNew(_actor.PersonId, Pair.Sealed);
    }

    private async Task PairAsync()
    {
        var paired = await Own.PairAsync(
            _actor!,
            SignInCookies.VisitorOf(Http),
            Pair!.Password,
            Pair.CurrentCode,
            _secret!,
            Pair.NewCode,
            Http.RequestAborted
        );
        if (paired.IsAccepted)
        {
            _recoveryCodes = paired.Value;
        }
        else
        {
            _refusals = paired.Refusals;
        }
    }

    /// <summary>What is typed, and the sealed secret.</summary>
    public sealed class PairForm
    {
        /// <summary>The new secret, sealed.</summary>
        public string Sealed { get; set; } = "";

        /// <summary>A code of the new authenticator.</summary>
        public string NewCode { get; set; } = "";

        /// <summary>A code of the present one, or a recovery code.</summary>
        public string CurrentCode { get; set; } = "";

        /// <summary>The present password.</summary>
        public string Password { get; set; } = "";
    }
}
