using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>The second factor: a code of the authenticator, or a recovery code.</summary>
public partial class CodePage
{
    private const string RecoveryWay = "recovery";

    private HalfwayIn? _half;
    private bool _isRefused;

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm]
    private CodeForm? Form { get; set; }

    [SupplyParameterFromQuery(Name = SignInAddress.ReturnParameter)]
    private string? Return { get; set; }

    [SupplyParameterFromQuery]
    private string? Way { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    private bool IsRecovery => Way == RecoveryWay;

    private string OtherWay => Navigation.GetUriWithQueryParameter("way", IsRecovery ? null : RecoveryWay);

    private string RefusedText =>
        IsRecovery
            ? "This code is not right, was used before, or there were too many attempts. After five wrong attempts in a row an account waits five minutes."
            : "This code is not right, is too old, was used before, or there were too many attempts. Wait for the next code; after five wrong attempts in a row an account waits five minutes.";

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Form ??= new CodeForm();
        _half = await SignInCookies.ReadHalfwayAsync(Http);
        if (_half is null)
        {
            Navigation.NavigateTo(SignInAddress.Path);
        }
    }

    private async Task TryAsync()
    {
        if (_half is null)
        {
            return;
        }
        var visitor = SignInCookies.VisitorOf(Http);
        var answer = IsRecovery
            ? await Door.TryRecoveryCodeAsync(_half.Person, Form!.Code, visitor, Http.RequestAborted, _half.First)
            : await Door.TryCodeAsync(_half.Person, Form!.Code, visitor, Http.RequestAborted, _half.First);
        _isRefused = !await Doorstep.GoOnAsync(Http, answer, Return);
    }

    /// <summary>What is typed.</summary>
    public sealed class CodeForm
    {
        /// <summary>The code.</summary>
        public string Code { get; set; } = "";
    }
}
