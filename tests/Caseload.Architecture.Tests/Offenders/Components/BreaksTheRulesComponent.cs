using Caseload.Web.Components.Layout;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Routing;

namespace Caseload.Architecture.Tests.Offenders.Components;

internal sealed class BreaksTheRulesComponent : ComponentBase
{
    [Parameter]
    public string Value { get; set; } = "";

    [Parameter]
    public int Count { get; set; }

    [Parameter]
    public string OnlyRead { get; set; } = "";

    [Parameter]
    public Action<string>? OnChange { get; set; }

    [Parameter]
    public Func<int, string>? TextOf { get; set; }

    [Parameter]
    public RenderFragment<int>? Row { get; set; }

    [Parameter]
    public EventCallback<string> ValueChanged { get; set; }

    protected override void OnParametersSet() => Value = OnlyRead.Trim();

    protected override async Task OnInitializedAsync()
    {
        await Task.Yield();
        Array.ForEach([1], one => Count += one);
    }

    private async void FireAndForget() => await ValueChanged.InvokeAsync(Value);

    private Action Subscribe() => async () => await ValueChanged.InvokeAsync(OnlyRead);
}

[Route("/planted")]
[Route("/planted/{Id:guid}")]
[ExcludeFromInteractiveRouting]
[Layout(typeof(MainLayout))]
internal sealed class PlantedPage : ComponentBase
{
    [Parameter]
    public Guid Id { get; set; }
}
