using System.Diagnostics;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Components;

/// <summary>What a person sees when a request fails: a number that stands in the log as well, and no detail.</summary>
public partial class ErrorPage
{
    [CascadingParameter]
    private HttpContext? HttpContext { get; set; }

    private string ReferenceNumber => Activity.Current?.TraceId.ToString() ?? HttpContext?.TraceIdentifier ?? "unknown";
}
