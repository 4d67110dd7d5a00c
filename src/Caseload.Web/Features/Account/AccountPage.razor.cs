using System.Globalization;
using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>A person's own account.</summary>
public partial class AccountPage
{
    private Actor? _actor;
    private OwnAccountView? _account;

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "end")]
    private EndForm? End { get; set; }

    [SupplyParameterFromQuery]
    private string? Done { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnAccount Account { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    private string Roles => string.Join(", ", _account!.Roles.Select(RoleWords.Of));

    private string? DoneText =>
        Done switch
        {
            "password" => "Your password is changed. Every other sign-in of yours was ended.",
            "authenticator-removed" => "The authenticator is removed. Every other sign-in of yours was ended.",
            "ended" => "Ended. Pages that were open there are closed now.",
            _ => null,
        };

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        End ??= new EndForm();
        _actor = await Actors.GetAsync(Http.RequestAborted);
        _account = await Account.GetAsync(_actor, Http.RequestAborted);
    }

    private async Task EndAsync()
    {
        if (End!.SignInId is { } signInId)
        {
            await Account.EndAsync(_actor!, signInId, Http.RequestAborted);
        }
        Navigation.NavigateTo("/account?done=ended");
    }

    private async Task EndOthersAsync()
    {
        await Account.EndOthersAsync(_actor!, Http.RequestAborted);
        Navigation.NavigateTo("/account?done=ended");
    }

    private static string EndText(OwnSignIn signIn) => $"End {signIn.Device} from {signIn.Address}, since {When(signIn.StartedAt)}";

    private static string When(DateTimeOffset at) => at.ToString("d MMM, HH:mm", CultureInfo.InvariantCulture);

    /// <summary>Which sign-in to end.</summary>
    public sealed class EndForm
    {
        /// <summary>The sign-in.</summary>
        public Guid? SignInId { get; set; }
    }
}
