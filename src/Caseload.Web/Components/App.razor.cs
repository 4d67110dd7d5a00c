using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Routing;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Components;

/// <summary>The document. Office pages run on a circuit; account and error pages opt out and stay static.</summary>
public partial class App
{
    // Prerendering is off by measurement: see "Decisions" in DEVELOPERS.md.
    private static readonly InteractiveServerRenderMode _office = new(prerender: false);

    [CascadingParameter]
    private HttpContext HttpContext { get; set; } = default!;

    private InteractiveServerRenderMode? PageMode => HttpContext.AcceptsInteractiveRouting() ? _office : null;
}
