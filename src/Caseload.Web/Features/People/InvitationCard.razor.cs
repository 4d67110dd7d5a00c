using System.Globalization;
using Microsoft.AspNetCore.Components;
using Microsoft.JSInterop;

namespace Caseload.Web.Features.People;

/// <summary>An invitation that was just made: to be mailed, copied or printed, and then gone.</summary>
public partial class InvitationCard
{
    private string? _copied;

    /// <summary>The invitation.</summary>
    [Parameter, EditorRequired]
    public InvitationSlip Slip { get; set; } = default!;

    [Inject]
    private NavigationManager Navigation { get; set; } = default!;

    [Inject]
    private IJSRuntime Browser { get; set; } = default!;

    private string WelcomeAddress => Navigation.BaseUri + "welcome";

    private string Link => $"{WelcomeAddress}/{Slip.LinkSecret}";

    private string GoodUntil => Slip.GoodUntilAt.ToString("d MMM yyyy, HH:mm", CultureInfo.InvariantCulture);

    // The body names nobody: mail passes through hands that the programme does not know.
    private string Mail =>
        $"mailto:{Uri.EscapeDataString(Slip.Email!)}?subject={Uri.EscapeDataString("Your way in to Caseload")}&body="
        + Uri.EscapeDataString(
            $"Open this link to sign in to Caseload for the first time, or again:\r\n\r\n{Link}\r\n\r\nIt is good once, until {GoodUntil}. Do not pass it on.\r\n"
        );

    private async Task CopyAsync()
    {
        try
        {
            await Browser.InvokeVoidAsync("caseload.copy", Link);
            _copied = "Copied.";
        }
        catch (JSException)
        {
            _copied = "The browser does not allow it here: select the link and copy it.";
        }
    }

    private async Task PrintAsync() => await Browser.InvokeVoidAsync("caseload.print");
}
