using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Account;

/// <summary>What stands round every page before the door and on the doorstep.</summary>
public partial class DoorFrame
{
    /// <summary>The page's heading.</summary>
    [Parameter, EditorRequired]
    public string Title { get; set; } = "";

    /// <summary>The page.</summary>
    [Parameter, EditorRequired]
    public RenderFragment? ChildContent { get; set; }

    [Inject]
    private HostStart Start { get; set; } = default!;
}
