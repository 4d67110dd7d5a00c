using System.Diagnostics;
using Caseload.Web.Platform;
using Caseload.Web.Platform.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Diagnostics;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Components;

/// <summary>What a person sees when a request fails: a number that stands in the log as well, and no detail.</summary>
public partial class ErrorPage
{
    [CascadingParameter]
    private HttpContext? HttpContext { get; set; }

    private IExceptionHandlerPathFeature? Failure => HttpContext?.Features.Get<IExceptionHandlerPathFeature>();

    private bool IsDatabaseAway => DatabaseTrouble.IsBehind(Failure?.Error);

    private string Asked => Failure is { } failure ? SignInAddress.Local(failure.Path) : "/";

    private string ReferenceNumber => Activity.Current?.TraceId.ToString() ?? HttpContext?.TraceIdentifier ?? "unknown";
}
