using Microsoft.JSInterop;

namespace Caseload.Web.Ui;

/// <summary>Hands files to the browser.</summary>
public static class BrowserFiles
{
    /// <summary>Has the browser save a file; whoever opened the content closes it.</summary>
    public static async Task SaveFileAsync(this IJSRuntime browser, string name, Stream content, CancellationToken ct)
    {
        using var stream = new DotNetStreamReference(content, leaveOpen: true);
        await browser.InvokeVoidAsync("caseload.saveFile", ct, name, stream);
    }
}
