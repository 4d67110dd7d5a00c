using Caseload.Data;
using Caseload.Data.Access;
using Caseload.Web.Features.Programmes;
using Caseload.Web.Platform;
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
        new("", "Due", Icons.Material.Outlined.EventNote, NavLinkMatch.All),
        new("children", "Children", Icons.Material.Outlined.ChildCare, NavLinkMatch.Prefix),
        new("reference", "Reference", Icons.Material.Outlined.MenuBook, NavLinkMatch.Prefix),
        new("programme", "Programme", Icons.Material.Outlined.Tune, NavLinkMatch.Prefix),
    ];

    private static readonly NavigationEntry _record = new("record", "Record", Icons.Material.Outlined.FactCheck, NavLinkMatch.Prefix);

    private MudThemeProvider? _themeProvider;
    private ErrorBoundary? _boundary;
    private Actor? _actor;
    private ProgrammeBanner? _programme;
    private bool _isDark;

    private IEnumerable<NavigationEntry> Offered =>
        _actor?.May(Permission.SearchAccessRecord) == true || _actor?.May(Permission.VerifyAccessRecord) == true
            ? Navigation.Append(_record)
            : Navigation;

    [Inject]
    private GetProgrammeBannerHandler Banner { get; set; } = default!;

    [Inject]
    private ActorSource Actors { get; set; } = default!;

    [Inject]
    private FailureLog Failures { get; set; } = default!;

    [Inject]
    private ScreenPreferences Preferences { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync()
    {
        try
        {
            _actor = await Actors.GetAsync(CancellationToken.None);
            _programme = await Banner.HandleAsync(_actor, new GetProgrammeBanner(), CancellationToken.None);
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

    private void Recover() => _boundary?.Recover();

    private sealed record NavigationEntry(string Href, string Text, string Icon, NavLinkMatch Match);
}
