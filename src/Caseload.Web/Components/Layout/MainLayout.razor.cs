using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Data.People;
using Caseload.Web.Features.Programmes;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Routing;
using Microsoft.AspNetCore.Components.Web;
using MudBlazor;

namespace Caseload.Web.Components.Layout;

/// <summary>The frame of every office page.</summary>
public partial class MainLayout
{
    private const string DarkKey = "dark";

    private static readonly NavigationEntry[] Navigation =
    [
        new("", "Due", Icons.Material.Outlined.EventNote, Permission.ReadChildren, NavLinkMatch.All),
        new("alerts", "Alerts", Icons.Material.Outlined.NotificationsNone, Permission.ReadChildren),
        new("children", "Children", Icons.Material.Outlined.ChildCare, Permission.ReadChildren),
        new("digests", "Digest", Icons.Material.Outlined.Summarize, Permission.ReadDigests),
        new("summary", "Summary", Icons.Material.Outlined.Assignment, Permission.ReadChildren),
        new("reference", "Reference", Icons.Material.Outlined.MenuBook, Permission.ReadReference),
        new("team", "Team", Icons.Material.Outlined.Groups, Permission.ArrangeCover),
        new("record", "Record", Icons.Material.Outlined.FactCheck, Permission.VerifyAccessRecord),
        new("people", "People", Icons.Material.Outlined.ManageAccounts, Permission.ManagePeople),
        new("jobs", "Jobs", Icons.Material.Outlined.Schedule, Permission.RunJobs),
        new("mail", "Mail", Icons.Material.Outlined.MailOutline, Permission.RunJobs),
        new("programme", "Programme", Icons.Material.Outlined.Tune, Permission.ReadSettings),
    ];

    private MudThemeProvider? _themeProvider;
    private ErrorBoundary? _boundary;
    private Actor? _actor;
    private ProgrammeBanner? _programme;
    private bool _isDark;

    [Inject]
    private GetProgrammeBannerHandler Banner { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private SignInKeeper Keeper { get; set; } = default!;

    [Inject]
    private NavigationManager Address { get; set; } = default!;

    [Inject]
    private FailureLog Failures { get; set; } = default!;

    [Inject]
    private ScreenPreferences Preferences { get; set; } = default!;

    private bool HasBadge(NavigationEntry entry) => entry.Href == "alerts";

    private string FirstPage => _actor?.May(Permission.ReadChildren) == false ? "people" : "";

    private string FirstName => _actor!.DisplayName.Split(' ')[0];

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        try
        {
            _actor = await Actors.GetAsync(CancellationToken.None);
            _programme = await Banner.HandleAsync(_actor, new GetProgrammeBanner(), CancellationToken.None);
        }
        catch (SignInEndedException)
        {
            Address.NavigateTo(SignInAddress.After(Address), forceLoad: true);
        }
        catch (Exception failure)
        {
            // A failure here would end the circuit, and with it the page's own way to say what is wrong and to try again.
            Failures.Record(failure, nameof(MainLayout));
        }
    }

    /// <inheritdoc />
    protected override void OnParametersSet() => _boundary?.Recover();

    /// <inheritdoc />
    protected override async Task OnAfterRenderAsync(bool firstRender)
    {
        if (firstRender)
        {
            var choice = await Preferences.ReadAsync(DarkKey);
            _isDark = choice is null ? await _themeProvider!.GetSystemDarkModeAsync() : choice == "yes";
            StateHasChanged();
        }
    }

    private async Task ToggleDarkAsync()
    {
        _isDark = !_isDark;
        await Preferences.SaveAsync(DarkKey, _isDark ? "yes" : "no");
    }

    private async Task SignOutAsync()
    {
        await Keeper.EndAsync(new SignInClaims(_actor!.PersonId, _actor.SignInId), SignInEnd.SignedOut, CancellationToken.None);
        Address.NavigateTo("account/signed-out", forceLoad: true);
    }

    private void Recover() => _boundary?.Recover();

    private sealed record NavigationEntry(
        string Href,
        string Text,
        string Icon,
        Permission Needs,
        NavLinkMatch Match = NavLinkMatch.Prefix
    );
}
