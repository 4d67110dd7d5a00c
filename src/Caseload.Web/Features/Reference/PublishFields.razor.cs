using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>Name, version and reason of a new version.</summary>
public partial class PublishFields
{
    /// <summary>The form.</summary>
    [Parameter, EditorRequired]
    public ReferenceForm Form { get; set; } = default!;

    /// <summary>Raised after every change.</summary>
    [Parameter]
    public EventCallback OnChanged { get; set; }

    private string? Invalid(string field) => Form.ProblemOf(field) is null ? null : "true";

    private string? Describe(string field) => Form.ProblemOf(field) is null ? null : $"set-{field}-problem";

    private Task ChangeNameAsync(ChangeEventArgs change)
    {
        Form.Name = change.Value as string ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task ChangeVersionAsync(ChangeEventArgs change)
    {
        Form.Version = change.Value as string ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task ChangeReasonAsync(ChangeEventArgs change)
    {
        Form.Reason = change.Value as string ?? "";
        return OnChanged.InvokeAsync();
    }
}
