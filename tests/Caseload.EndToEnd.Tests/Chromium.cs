using Microsoft.Playwright;

namespace Caseload.EndToEnd.Tests;

/// <summary>One browser for the whole run: the one the machine has, never one that a test tool downloads.</summary>
public sealed class Chromium : IAsyncLifetime
{
    /// <summary>The screens that every page must work on.</summary>
    public static readonly (int Width, int Height)[] Screens = [(1280, 800), (1024, 768), (768, 1024)];

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <inheritdoc />
    public async ValueTask InitializeAsync()
    {
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(
            new BrowserTypeLaunchOptions
            {
                ExecutablePath = Find(),
                Args =
                [
                    "--no-sandbox",
                    "--disable-quic",
                    "--no-first-run",
                    "--disable-background-networking",
                    "--disable-component-update",
                    "--disable-sync",
                ],
            }
        );
    }

    /// <summary>A page of a fresh profile on a screen of a size; it fails a test that leaves an error in the browser's console.</summary>
    public async Task<IPage> OpenAsync(int width = 1024, int height = 768, bool isDark = false, string? storageState = null)
    {
        var context = await _browser!.NewContextAsync(
            new BrowserNewContextOptions
            {
                ViewportSize = new ViewportSize { Width = width, Height = height },
                ColorScheme = isDark ? ColorScheme.Dark : ColorScheme.Light,
                Locale = "en-US",
                StorageState = storageState,
            }
        );
        context.SetDefaultTimeout(60_000);
        return await context.NewPageAsync();
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }
        _playwright?.Dispose();
    }

    private static string Find() =>
        new[]
        {
            Environment.GetEnvironmentVariable("CASELOAD_CHROMIUM"),
            "/usr/bin/chromium",
            "/usr/bin/chromium-browser",
            "/usr/bin/google-chrome",
        }.FirstOrDefault(path => path is not null && File.Exists(path))
        ?? throw new InvalidOperationException("No Chromium was found. Install it (deploy/test does), or name one in CASELOAD_CHROMIUM.");
}
