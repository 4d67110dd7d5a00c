using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Account;

/// <summary>One passkey, with its name to change and a way to remove it.</summary>
public partial class PasskeyLine
{
    /// <summary>The passkey.</summary>
    [Parameter, EditorRequired]
    public OwnPasskey Passkey { get; set; } = default!;

    /// <summary>Called with the name to give it.</summary>
    [Parameter]
    public EventCallback<LineForm> OnRename { get; set; }

    /// <summary>Called to remove it.</summary>
    [Parameter]
    public EventCallback<LineForm> OnRemove { get; set; }

    [SupplyParameterFromForm]
    private LineForm? Line { get; set; }

    private string FormName => "passkey-" + Passkey.Id;

    private async Task SaveAsync()
    {
        if (Line is { } line)
        {
            await (line.IsRemoved ? OnRemove : OnRename).InvokeAsync(line);
        }
    }

    /// <summary>What is typed.</summary>
    public sealed class LineForm
    {
        /// <summary>The passkey's id.</summary>
        public string Id { get; set; } = "";

        /// <summary>The name to give it.</summary>
        public string Name { get; set; } = "";

        /// <summary>Whether it is to be removed.</summary>
        public bool IsRemoved { get; set; }
    }
}
