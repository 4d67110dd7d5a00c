using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Pairs an authenticator with a person who is halfway in and has none.</summary>
public partial class SecondFactorPage
{
    private HalfwayIn? _half;
    private IReadOnlyList<string>? _recoveryCodes;
    private string? _secret;
    private string _signInName = "";
    private string _next = "/";
    private bool _isRefused;

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm]
    private PairForm? Form { get; set; }

    [SupplyParameterFromQuery(Name = SignInAddress.ReturnParameter)]
    private string? Return { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    [Inject]
    private PairingSeal Seal { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Form ??= new PairForm();
        _half = await SignInCookies.ReadHalfwayAsync(Http);
        if (_half is null || await Door.FindUnpairedAsync(_half.Person, Http.RequestAborted) is not { } signInName)
        {
            Navigation.NavigateTo(SignInAddress.Path);
            return;
        }
        _secret = Seal.OpenOrNew(_half.Person.PersonId, Form.Sealed);
        _signInName = signInName;
    }

    private async Task PairAsync()
    {
        if (_secret is null)
        {
            return;
        }
        var paired = await Door.PairAsync(
            _half!.Person,
            _secret,
            Form!.Code,
            SignInCookies.VisitorOf(Http),
            Http.RequestAborted,
            _half.First
        );
        if (paired is null)
        {
            _isRefused = true;
            return;
        }
        await SignInCookies.KeepAsync(Http, paired.Claims);
        _recoveryCodes = paired.RecoveryCodes;
        _next = await Doorstep.FirstPageAsync(paired.Claims, Return, Http.RequestAborted);
    }

    /// <summary>What is typed, and the sealed secret.</summary>
    public sealed class PairForm
    {
        /// <summary>The code.</summary>
        public string Code { get; set; } = "";

        /// <summary>The secret, sealed.</summary>
        public string Sealed { get; set; } = "";
    }
}
