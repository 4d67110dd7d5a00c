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

    private Task ChangeNameAsync(string? text)
    {
        Form.Name = text ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task ChangeVersionAsync(string? text)
    {
        Form.Version = text ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task ChangeReasonAsync(string? text)
    {
        Form.Reason = text ?? "";
        return OnChanged.InvokeAsync();
    }
}
