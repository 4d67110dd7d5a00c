using Caseload.Domain;
using Caseload.Domain.Findings;
using Microsoft.AspNetCore.Components;
using MudBlazor;

namespace Caseload.Web.Features.Visits;

/// <summary>Asks what is right instead of a finding, and why.</summary>
public partial class CorrectFindingDialog
{
    private readonly DialogOptions _options = new() { MaxWidth = MaxWidth.Small, FullWidth = true };
    private VisitFindingRow? _shown;
    private CorrectionForm _form = new();
    private string _name = "";

    /// <summary>The finding to correct; null while none is.</summary>
    [Parameter, EditorRequired]
    public VisitFindingRow? Row { get; set; }

    /// <summary>What the last attempt was refused for.</summary>
    [Parameter]
    public IReadOnlyList<Refusal> Problems { get; set; } = [];

    /// <summary>Whether it is being saved.</summary>
    [Parameter]
    public bool IsBusy { get; set; }

    /// <summary>Raised with what is right.</summary>
    [Parameter]
    public EventCallback<CorrectionForm> OnSubmit { get; set; }

    /// <summary>Raised when nothing is to be corrected.</summary>
    [Parameter]
    public EventCallback OnClose { get; set; }

    /// <inheritdoc />
    protected override void OnParametersSet()
    {
        if (Row is { } row && !ReferenceEquals(row, _shown))
        {
            _form = CorrectionForm.From(row.Finding);
            _name = row.Item.Name;
        }
        _shown = Row;
    }

    private Task CloseAsync(bool isVisible) => isVisible ? Task.CompletedTask : OnClose.InvokeAsync();

    private void ChangeNotTested(ChangeEventArgs change)
    {
        var reason = WordOf<NotTestedReason>(change);
        _form = _form with { NotTested = reason, Response = reason is null ? _form.Response : null };
    }

    private static T? WordOf<T>(ChangeEventArgs change)
        where T : struct, Enum => EnumWords.FromWord<T>(change.Value as string);
}
