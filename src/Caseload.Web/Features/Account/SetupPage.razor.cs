using Caseload.Domain;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Account;

/// <summary>Sets up an installation that has no programme yet.</summary>
public partial class SetupPage
{
    private bool _isGood;
    private IReadOnlyList<Refusal> _refusals = [];

    /// <summary>The secret of the link.</summary>
    [Parameter]
    public string Secret { get; set; } = "";

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [SupplyParameterFromForm]
    private SetupForm? Form { get; set; }

    [Inject]
    private FirstSetup Setup { get; set; } = default!;

    [Inject]
    private SignInDoor Door { get; set; } = default!;

    [Inject]
    private Doorstep Doorstep { get; set; } = default!;

    private static IEnumerable<string> TimeZones { get; } =
        TimeZoneInfo.GetSystemTimeZones().Where(zone => zone.HasIanaId).Select(zone => zone.Id).Order(StringComparer.Ordinal);

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        Form ??= new SetupForm { TimeZoneId = TimeZoneInfo.Local.HasIanaId ? TimeZoneInfo.Local.Id : "" };
        _isGood = await Setup.IsGoodAsync(Secret, Http.RequestAborted);
    }

    private async Task CreateAsync()
    {
        _refusals = NewPasswordFields.Compare(Form!.Password, Form.Again);
        if (_refusals.Count > 0)
        {
            return;
        }
        var created = await Setup.CreateAsync(Secret, Form, Http.RequestAborted);
        if (!created.IsAccepted)
        {
            _refusals = created.Refusals;
            _isGood = await Setup.IsGoodAsync(Secret, Http.RequestAborted);
            return;
        }
        var answer = await Door.TryPasswordAsync(Form.SignInName, Form.Password, SignInCookies.VisitorOf(Http), Http.RequestAborted);
        await Doorstep.GoOnAsync(Http, answer, "/programme");
    }

    /// <summary>What the first person enters, with the password twice.</summary>
    public sealed class SetupForm : FirstSetupForm
    {
        /// <summary>The password again.</summary>
        public string Again { get; set; } = "";
    }
}
