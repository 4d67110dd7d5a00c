using Caseload.Domain.Reference;
using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Features.Reference;

/// <summary>The field of one schedule figure, with its sources once it is changed.</summary>
public partial class FigureField
{
    /// <summary>The item it belongs to, for the element's id.</summary>
    [Parameter, EditorRequired]
    public string ItemId { get; set; } = "";

    /// <summary>The figure.</summary>
    [Parameter, EditorRequired]
    public FigureEntry Entry { get; set; } = default!;

    /// <summary>The sources of the set.</summary>
    [Parameter, EditorRequired]
    public IReadOnlyList<ReferenceSource> Sources { get; set; } = [];

    /// <summary>What is wrong with it.</summary>
    [Parameter]
    public string? Problem { get; set; }

    /// <summary>Raised after every change.</summary>
    [Parameter]
    public EventCallback OnChanged { get; set; }

    private string Id => $"{ItemId}-{Entry.Field}";

    private string? ProblemId => Problem is null ? null : Id + "-problem";

    private string Label => FigureEntry.NameOf(Entry.Figure) + ", " + Entry.Unit;

    private Task ChangeFrom(string? text)
    {
        Entry.FromText = text ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task ChangeThrough(string? text)
    {
        Entry.ThroughText = text ?? "";
        return OnChanged.InvokeAsync();
    }

    private Task Restore()
    {
        Entry.Restore();
        return OnChanged.InvokeAsync();
    }

    private Task PickAsync(ChangeEventArgs change)
    {
        if (change.Value is string { Length: > 0 } key)
        {
            Entry.Pick(key);
        }
        return OnChanged.InvokeAsync();
    }

    private Task DropAsync(string key)
    {
        Entry.Drop(key);
        return OnChanged.InvokeAsync();
    }
}
