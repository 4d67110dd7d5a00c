using Caseload.Web.Platform.Mail;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;

namespace Caseload.Web.Features.Mail;

/// <summary>Where a person stops the weekly digest by mail without signing in. It shows; what is posted is taken by an endpoint of the same address.</summary>
public partial class MailStopPage
{
    private bool _canStop;

    /// <summary>The secret of the address.</summary>
    [Parameter]
    public string Secret { get; set; } = "";

    [CascadingParameter]
    private HttpContext Http { get; set; } = default!;

    [Inject]
    private MailStop Stop { get; set; } = default!;

    /// <inheritdoc />
    protected override async Task OnInitializedAsync() => _canStop = await Stop.CanStopAsync(Secret, Http.RequestAborted);
}
