using System.Security.Cryptography;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Pairs an authenticator with a person who is halfway in and has none.</summary>
public partial class SecondFactorPage
{
    private static readonly TimeSpan _time = TimeSpan.FromMinutes(15);

    private PersonKey? _person;
    private IReadOnlyList<string>? _recoveryCodes;
    private string? _secret;
    private string? _sealed;
    private string _address = "";
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
    private IDataProtectionProvider Protection { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    private string SpacedSecret => string.Join(' ', _secret!.Chunk(4).Select(chunk => new string(chunk)));

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Form ??= new PairForm();
        _person = await SignInCookies.ReadHalfwayAsync(Http);
        if (_person is null || await Door.FindUnpairedAsync(_person, Http.RequestAborted) is not { } signInName)
        {
            Navigation.NavigateTo(SignInAddress.Path);
            return;
        }
        _secret = Open(Form.Sealed) ?? AuthenticatorCodes.NewSecret();
        _sealed = Sealer().Protect(_secret, _time);
        _address = AuthenticatorCodes.AddressOf(_secret, signInName);
    }

    private async Task PairAsync()
    {
        if (_secret is null)
        {
            return;
        }
        var paired = await Door.PairAsync(_person!, _secret, Form!.Code, SignInCookies.VisitorOf(Http), Http.RequestAborted);
        if (paired is null)
        {
            _isRefused = true;
            return;
        }
        await SignInCookies.KeepAsync(Http, paired.Claims);
        _recoveryCodes = paired.RecoveryCodes;
        _next = await Doorstep.FirstPageAsync(paired.Claims, Return, Http.RequestAborted);
    }

    /// <summary>The secret that the form carries to and fro, sealed for this person; null when it is another's or too old.</summary>
    private string? Open(string sealedSecret)
    {
        try
        {
            return sealedSecret.Length == 0 ? null : Sealer().Unprotect(sealedSecret);
        }
        catch (CryptographicException)
        {
            return null;
        }
    }

    private ITimeLimitedDataProtector Sealer() =>
        Protection.CreateProtector("caseload.pairing", _person!.PersonId.ToString()).ToTimeLimitedDataProtector();

    /// <summary>What is typed, and the sealed secret.</summary>
    public sealed class PairForm
    {
        /// <summary>The code.</summary>
        public string Code { get; set; } = "";

        /// <summary>The secret, sealed.</summary>
        public string Sealed { get; set; } = "";
    }
}
