using Microsoft.JSInterop;

namespace Caseload.Web.Platform;

/// <summary>Small choices of a person that stay in the browser: dark or light, whose caseload. Never anything about a child.</summary>
public sealed class ScreenPreferences(IJSRuntime browser)
{
    /// <summary>Reads a choice; null when none was made or the browser keeps nothing.</summary>
    public async Task<string?> ReadAsync(string key)
    {
        try
        {
            return await browser.InvokeAsync<string?>("caseload.readPreference", key);
        }
        catch (JSException)
        {
            return null;
        }
    }

    /// <summary>Keeps a choice.</summary>
    public async Task SaveAsync(string key, string value)
    {
        try
        {
            await browser.InvokeVoidAsync("caseload.savePreference", key, value);
        }
        catch (JSException)
        {
            // A browser that keeps nothing only forgets the choice.
        }
    }
}
