using Caseload.Data;
using Caseload.Domain;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>A person's own passkeys.</summary>
public partial class PasskeysPage
{
    private Actor? _actor;
    private bool _hasPassword;
    private IReadOnlyList<OwnPasskey>? _passkeys;
    private IReadOnlyList<Refusal> _refusals = [];

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm(FormName = "add")]
    private AddForm? Add { get; set; }

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private OwnAccount Account { get; set; } = default!;

    [Inject]
    private OwnPasskeys Own { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Add ??= new AddForm { Name = DeviceWords.Of(Http.Request.Headers.UserAgent) };
        _actor = await Actors.GetAsync(Http.RequestAborted);
        _hasPassword = (await Account.GetAsync(_actor, Http.RequestAborted)).HasPassword;
        _passkeys = await Own.ListAsync(_actor, Http.RequestAborted);
    }

    private async Task AddAsync() => GoOn(await Own.AddAsync(Http, _actor!, Add!.Name, Add.Credential, Http.RequestAborted));

    private async Task RenameAsync(PasskeyLine.LineForm line) =>
        GoOn(await Own.RenameAsync(_actor!, line.Id, line.Name, Http.RequestAborted));

    private async Task RemoveAsync(PasskeyLine.LineForm line) => GoOn(await Own.RemoveAsync(_actor!, line.Id, Http.RequestAborted));

    private void GoOn(IReadOnlyList<Refusal> refusals)
    {
        _refusals = refusals;
        if (refusals.Count == 0)
        {
            Navigation.NavigateTo("/account/passkeys");
        }
    }

    /// <summary>What is typed, and what the browser made.</summary>
    public sealed class AddForm
    {
        /// <summary>What the person calls it.</summary>
        public string Name { get; set; } = "";

        /// <summary>The passkey, as JSON.</summary>
        public string Credential { get; set; } = "";
    }
}
