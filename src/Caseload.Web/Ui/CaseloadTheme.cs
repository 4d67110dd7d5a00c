using MudBlazor;

namespace Caseload.Web.Ui;

/// <summary>Our look: quiet paper and deep teal, with warm colours kept for what needs attention.</summary>
public static class CaseloadTheme
{
    private static readonly string[] _fonts = ["Atkinson Hyperlegible", "Segoe UI", "system-ui", "sans-serif"];

    /// <summary>The theme.</summary>
    public static MudTheme Instance { get; } =
        new()
        {
            PaletteLight = new PaletteLight
            {
                Primary = "#0b5d63",
                PrimaryContrastText = "#ffffff",
                Secondary = "#7a4b1e",
                Background = "#f6f4ef",
                Surface = "#ffffff",
                AppbarBackground = "#0b3f45",
                TextPrimary = "#1b2426",
                TextSecondary = "#4a5759",
                ActionDefault = "#3b4a4d",
                LinesDefault = "#d9d5ca",
                LinesInputs = "#7d8a8c",
                TableLines = "#e5e1d7",
                Divider = "#e0dccf",
                Error = "#a3211b",
                Warning = "#8a5200",
                Success = "#1c6b3a",
                Info = "#215a9c",
                TextDisabled = "#6b7779",
            },
            PaletteDark = new PaletteDark
            {
                Primary = "#6fc7c6",
                PrimaryContrastText = "#06282b",
                Secondary = "#e0b07c",
                Background = "#12191b",
                Surface = "#1a2426",
                AppbarBackground = "#0d1517",
                TextPrimary = "#e9eeee",
                TextSecondary = "#b4c0c1",
                ActionDefault = "#b4c0c1",
                LinesDefault = "#334144",
                LinesInputs = "#7d8c8e",
                TableLines = "#2a373a",
                Divider = "#2d3a3d",
                Error = "#ff9b92",
                Warning = "#f2b765",
                Success = "#84d3a0",
                Info = "#9cc3f5",
                TextDisabled = "#8b999b",
            },
            Typography = new Typography
            {
                Default = new DefaultTypography
                {
                    FontFamily = _fonts,
                    FontSize = "1rem",
                    LineHeight = "1.45",
                },
            },
            LayoutProperties = new LayoutProperties { DefaultBorderRadius = "10px" },
        };
}
