using Microsoft.AspNetCore.Components;

namespace Caseload.Web.Ui.Timeline;

/// <summary>A child's timeline: one lane per item, drawn as one piece of markup.</summary>
public partial class TimelineView
{
    /// <summary>What is drawn and where.</summary>
    [Parameter, EditorRequired]
    public TimelineLayout Layout { get; set; } = default!;

    /// <summary>The same for a screen held upright; the style sheet shows one of the two.</summary>
    [Parameter, EditorRequired]
    public TimelineLayout NarrowLayout { get; set; } = default!;

    /// <summary>The drawing's name for those who cannot see it.</summary>
    [Parameter, EditorRequired]
    public string Title { get; set; } = "";

    /// <summary>The path of the page it stands on, so that links stay on it.</summary>
    [Parameter, EditorRequired]
    public string PagePath { get; set; } = "";
}
