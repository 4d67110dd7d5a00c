using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Where people come back to from the identity provider: on to the code, in, or told why not.</summary>
public partial class ExternalPage
{
    private Problem? _problem;
    private string _provider = "";

    private enum Problem
    {
        Failed,
        Nobody,
        Refused,
    }

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromQuery(Name = SignInAddress.ReturnParameter)]
    private string? Return { get; set; }

    [SupplyParameterFromQuery]
    private string? Why { get; set; }

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    [Inject]
    private IdentityDoor Door { get; set; } = default!;

    [Inject]
    private IAuthenticationSchemeProvider Schemes { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        if (await Schemes.GetSchemeAsync(IdentityProvider.Scheme) is not { } scheme)
        {
            Navigation.NotFound();
            return;
        }
        _provider = scheme.DisplayName!;
        if (Why == IdentityProvider.FailedWord)
        {
            _problem = Problem.Failed;
            return;
        }
        if (await IdentityProvider.TakeAsync(Http) is not { } identity)
        {
            Navigation.NavigateTo(SignInAddress.Path);
            return;
        }
        var answer = await Door.TryAsync(identity, SignInCookies.VisitorOf(Http), Http.RequestAborted);
        if (answer is null)
        {
            _problem = Problem.Nobody;
        }
        else if (!await Doorstep.GoOnAsync(Http, answer, Return))
        {
            _problem = Problem.Refused;
        }
    }

    private static string TitleOf(Problem problem) =>
        problem switch
        {
            Problem.Nobody => "Nobody here has this account",
            Problem.Refused => "You cannot come in now",
            _ => "That did not work",
        };
}
