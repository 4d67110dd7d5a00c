using System.Text.RegularExpressions;
using AngleSharp.Dom;
using Bunit;
using Caseload.Data;
using Caseload.Data.Access;
using Microsoft.AspNetCore.Components;
using Microsoft.Extensions.DependencyInjection;
using MudBlazor;
using MudBlazor.Services;

namespace Caseload.Components.Tests;

/// <summary>What every component needs around it: MudBlazor's parts, its popover provider, and a browser that answers nothing.</summary>
public abstract class ComponentTest : BunitContext
{
    /// <summary>Who looks at the components: somebody who may do everything, unless a test says otherwise.</summary>
    private static readonly Actor Somebody = new(
        Guid.Empty,
        Guid.Empty,
        Guid.Empty,
        ClinicianId: null,
        "Somebody",
        Enum.GetValues<Role>(),
        TimeZoneInfo.Utc
    );

    /// <param name="add">Further services, which must be known before the first rendering.</param>
    protected ComponentTest(Action<IServiceCollection>? add = null)
    {
        JSInterop.Mode = JSRuntimeMode.Loose;
        Services.AddMudServices();
        add?.Invoke(Services);
        RenderTree.Add<CascadingValue<Actor>>(cascade => cascade.Add(value => value.Value, Somebody));
#pragma warning disable MA0056 // Render is virtual in bUnit and overridden nowhere here.
        Render<MudPopoverProvider>();
#pragma warning restore MA0056
    }
}

/// <summary>Reading what a person reads.</summary>
internal static partial class Reading
{
    /// <summary>The text with every run of white space as one space.</summary>
    internal static string Words(this INode node) => WhiteSpace().Replace(node.TextContent, " ").Trim();

    /// <summary>All words of a component.</summary>
    internal static string Words<T>(this IRenderedComponent<T> component)
        where T : Microsoft.AspNetCore.Components.IComponent =>
        WhiteSpace().Replace(string.Join(' ', component.Nodes.Select(node => node.TextContent)), " ").Trim();

    /// <summary>The button or link with these words or this name.</summary>
    internal static IElement Control<T>(this IRenderedComponent<T> component, string name)
        where T : Microsoft.AspNetCore.Components.IComponent =>
        component.FindAll("button, a").Single(control => (control.GetAttribute("aria-label") ?? control.Words()) == name);

    /// <summary>The words of each element, in order.</summary>
    internal static IReadOnlyList<string> AllWords<T>(this IRenderedComponent<T> component, string selector)
        where T : Microsoft.AspNetCore.Components.IComponent => [.. component.FindAll(selector).Select(element => element.Words())];

    [GeneratedRegex(@"\s+", RegexOptions.None, 1000)]
    private static partial Regex WhiteSpace();
}
