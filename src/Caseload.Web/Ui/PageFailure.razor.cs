using Caseload.Web.Platform;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Ui;

/// <summary>Stands in for a page that failed, with the number under which the log knows it.</summary>
public partial class PageFailure
{
    private string _reference = "";

    /// <summary>What went wrong.</summary>
    [Parameter, EditorRequired]
    public Exception Failure { get; set; } = default!;

    /// <summary>Asked for when the person wants the page back.</summary>
    [Parameter]
    public EventCallback OnRetry { get; set; }

    [Inject]
    private FailureLog Failures { get; set; } = default!;

    /// <inheritdoc />
    protected override void OnInitialized() => _reference = Failures.Record(Failure, "page");
}
