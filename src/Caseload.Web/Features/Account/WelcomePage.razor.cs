using Caseload.Domain;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where an invitation is used: the first password, or a new way in.</summary>
public partial class WelcomePage
{
    private Invitee? _invitee;
    private string _linkOrCode = "";
    private bool _isOver;
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>The secret of the link.</summary>
    [Parameter]
    public string? Secret { get; set; }

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "invitation")]
    private CodeForm? Code { get; set; }

    [SupplyParameterFromForm(FormName = "accept")]
    private AcceptForm? Accept { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private Welcome Welcome { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Code ??= new CodeForm();
        Accept ??= new AcceptForm();
        _linkOrCode = Accept.Code is { Length: > 0 } carried ? carried : Secret ?? "";
        if (_linkOrCode.Length > 0)
        {
            _invitee = await Welcome.FindAsync(_linkOrCode, Http.RequestAborted);
            _isOver = _invitee is null;
        }
    }

    private async Task FindAsync()
    {
        _linkOrCode = Code!.Code;
        _invitee = await Welcome.FindAsync(_linkOrCode, Http.RequestAborted);
        _isOver = _invitee is null;
    }

    private async Task AcceptAsync()
    {
        _refusals = NewPasswordFields.Compare(Accept!.Password, Accept.Again);
        if (_invitee is null || _refusals.Count > 0)
        {
            return;
        }
        var visitor = SignInCookies.VisitorOf(Http);
        var accepted = await Welcome.AcceptAsync(_linkOrCode, Accept.Password, visitor, Http.RequestAborted);
        if (!accepted.IsAccepted)
        {
            _refusals = accepted.Refusals;
            return;
        }
        // The way in is the ordinary one from here: a second factor is asked for as always.
        var answer = await Door.TryPasswordAsync(accepted.Value.SignInName, Accept.Password, visitor, Http.RequestAborted);
        await Doorstep.GoOnAsync(Http, answer, asked: null);
    }

    /// <summary>The code as typed.</summary>
    public sealed class CodeForm
    {
        /// <summary>The code.</summary>
        public string Code { get; set; } = "";
    }

    /// <summary>The password as typed.</summary>
    public sealed class AcceptForm
    {
        /// <summary>The link's secret or the code.</summary>
        public string Code { get; set; } = "";

        /// <summary>The password.</summary>
        public string Password { get; set; } = "";

        /// <summary>The same again.</summary>
        public string Again { get; set; } = "";
    }
}
